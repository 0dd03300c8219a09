"""The ground under the feet: where the mat lies, when a trace belongs to a swing, its numbers kept."""
