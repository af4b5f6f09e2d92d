"""Many pictures: which ones are meant, worked on by several processes or machines, told as they come, pinned up together."""
