"""From a reader's facts to the frozen digest: composed once for all who share it."""
