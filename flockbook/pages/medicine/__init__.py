"""Pages on who is clear, the medicine book and the cupboard."""
