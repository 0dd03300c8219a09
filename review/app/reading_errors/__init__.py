"""How far one reading of the device errs, without which nothing of it is judged."""
