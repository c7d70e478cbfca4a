"""Where stages meet: what several of them settle together, called by the pipeline alone."""
