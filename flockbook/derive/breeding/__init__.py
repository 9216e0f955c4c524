"""From the ram's day to the due list: matings, conception, gestation, scans, the forecast."""
