"""Long recordings: searched, cut into clips by reference, kept."""
