"""From what a mat or a platform wrote to a record: tables in pieces, grids, folders of files, C3D."""
