"""The lesson chart, the window's home: swings along the lesson, batches as bands, first against last beneath."""
