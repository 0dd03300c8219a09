"""What the balls did: flight and strike of the first batch and the last."""
