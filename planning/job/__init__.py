"""The nouns of a job: what is to be done, what happened, and the plan. Imports nothing of ours."""
