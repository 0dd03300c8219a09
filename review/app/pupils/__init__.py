"""Pupils: choosing one and a lesson."""
