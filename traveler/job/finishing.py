"""Names of what is done to the finished part, which the steps ask for and the gate looks at."""

STRAIGHTENING = "straightening"
NOT_STRAIGHTENED = "none"
