"""Every view of the window drawn as pictures, without a screen."""
