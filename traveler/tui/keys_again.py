"""Keys of what follows a job: made again, laid beside another, written as papers."""

from traveler.tui.key_kinds import pressed

JOB_AGAIN = pressed(
    "m", "again", "Make again", "job.again", "Make the part again, from new heats of steel", "m"
)
JOB_COMPARE = pressed(
    "c", "compare", "Compare", "job.compare", "What this job asks otherwise than another one, and why", "c"
)
JOB_PAPERS = pressed(
    "w", "papers", "Papers", "job.papers", "Write the traveler or paper for the shop as a file", "w"
)
REVIEW_DIFFERENCES = pressed(
    "d",
    "differences",
    "Differences",
    "review.differences",
    "What is asked otherwise than in the job that is made again, and why",
    "d",
)
