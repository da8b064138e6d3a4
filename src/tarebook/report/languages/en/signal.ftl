signal-danger = Danger
signal-warning = Warning
