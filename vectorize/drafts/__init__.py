"""Drafts of one word, the learner's first and the ones after it: what is gone, better, the same, worse, new."""
