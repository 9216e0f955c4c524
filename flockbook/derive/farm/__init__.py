"""Money, kit, the register of the flock, head counts and official numbers."""
