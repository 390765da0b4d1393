"""What a step is asked for by: names that the plan, the judge and the charts have in common.

They stand by themselves so that planning does not load what judges, nor judging what plans.
"""

PREHEAT = "preheat temperature"
INTERPASS = "interpass temperature"
ARC_ENERGY = "arc energy"
WAIT = "wait before test"
CRACK_TEST = "crack test"

SOAK_TEMPERATURE = "soak temperature"
SOAK_TIME = "soak time"
HEATING_RATE = "heating rate"
COOLING_RATE = "cooling rate"
LOADING = "furnace temperature at loading"
THRESHOLD = "temperature above which rates count"
SPREAD_HEATING = "spread while heating"
SPREAD_SOAK = "spread in the soak"

UNCOVERING = "uncovering temperature"
BAKE_TEMPERATURE = "bake temperature"
BAKE_TIME = "bake time"

OWN_MINIMUM = "the engineer's own minimum"
"""What governs a preheat that no method gives a limit for."""
