"""What is worth doing: a whole job, a doubtful part, and the proof that it is gone."""
