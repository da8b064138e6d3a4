signal-danger = Peligro
signal-warning = Atención
