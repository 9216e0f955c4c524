"""Pages on money, kit, registers and grass."""
