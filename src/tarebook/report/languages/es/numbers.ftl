numbers-not_known = no se conoce
