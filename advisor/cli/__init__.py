"""Commands: parse, call, print. No logic."""

import gc

# Start-up makes many lasting objects and hardly any garbage, and the collector's search for it took
# a tenth of the time of `advisor ask`. Long commands still collect, only less often.
gc.set_threshold(200_000)
