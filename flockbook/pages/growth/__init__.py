"""Pages on growth and weighing."""
