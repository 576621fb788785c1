"""Building an edition: the work to do, on processes or a cluster, crash by crash."""
