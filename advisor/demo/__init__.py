"""The invented demo site: nobody's lawn, in no town, under weather that never was."""
