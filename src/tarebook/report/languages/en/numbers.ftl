numbers-not_known = not known
