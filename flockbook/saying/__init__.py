"""What was worked out, in a shepherd's words: the only place that makes sentences of the reasons in `derive`."""
