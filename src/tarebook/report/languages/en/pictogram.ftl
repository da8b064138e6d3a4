pictogram-GHS02 = flame
pictogram-GHS03 = flame over circle
pictogram-GHS05 = corrosion
pictogram-GHS06 = skull and crossbones
pictogram-GHS07 = exclamation mark
pictogram-GHS08 = health hazard
pictogram-GHS09 = environment
