"""How much room on the disk is kept free."""

LOW_BYTES = 5 * 10**9
"""About one lesson of two cameras at 240 pictures a second."""
