"""Teaching: comparisons, sweeps, lessons and exercises, every number of them computed by the model."""
