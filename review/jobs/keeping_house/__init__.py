"""The whole library: backed up and brought back, thinned, measured again."""
