"""Static charts by Matplotlib, all in one style."""
