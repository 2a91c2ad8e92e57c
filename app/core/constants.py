"""Numbers of nature and of definition, each in one place."""

LIGHT_M_PER_NS = 0.299792458  # speed of light in empty space, exact by the definition of the metre
FEET_M = 0.3048  # the international foot, exact
GRAVITY = 9.80665  # m/s2, standard, exact
