"""One figure dict drawn as a static picture: scales, marks, drawing."""
