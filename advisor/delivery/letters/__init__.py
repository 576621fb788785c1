"""From a reader's case to the frozen digest: composed once for all who share it."""
