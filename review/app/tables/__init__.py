"""Looking at a device's table before it is added: what its columns would be read as, corrected and kept by name."""
