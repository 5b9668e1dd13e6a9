"""What follows from a plan's inputs, way by way alike: figures and cautions."""
