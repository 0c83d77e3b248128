"""The things that longdry speaks of, as frozen values: no file, no clock, no planning."""
