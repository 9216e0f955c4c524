"""What the scales said: gains, sessions read back, weanings."""
