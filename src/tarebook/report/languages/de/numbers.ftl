numbers-not_known = nicht bekannt
