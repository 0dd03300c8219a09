"""The batches of any lesson put right in the lesson chart."""
