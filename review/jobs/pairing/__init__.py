"""Clips to rows: reading a clip, its strike, impact and speed; matching a lesson and matching it anew."""
