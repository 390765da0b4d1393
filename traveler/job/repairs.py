"""Names of what a repair is asked, which the steps ask for and the gate looks at."""

CRACK_ENDS = "crack ends"
CRACK_PROOF = "crack proved out"
OTHER_METAL = "other metal"
