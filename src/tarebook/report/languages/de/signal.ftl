signal-danger = Gefahr
signal-warning = Achtung
