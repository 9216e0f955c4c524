"""Who stays: the years of each ewe, reasons both ways, rams, replacements."""
