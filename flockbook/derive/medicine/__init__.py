"""Doses, withdrawals, the register, the cupboard."""
