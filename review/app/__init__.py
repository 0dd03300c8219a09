"""The window: shows what ``jobs`` gives, asks what the coach wants; no numbers are made here."""
