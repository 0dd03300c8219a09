"""Pictures of shots and batches as SVG or PNG; the only room that knows matplotlib."""
