"""groundroll: the landing roll and the rejected take-off of a transport aeroplane, from one physical model."""

__version__ = "0.1.0"
