"""Body numbers: landmarks of clips, set-ups, one swing, a whole lesson."""
