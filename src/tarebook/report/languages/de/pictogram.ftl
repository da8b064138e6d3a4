pictogram-GHS02 = Flamme
pictogram-GHS03 = Flamme über einem Kreis
pictogram-GHS05 = Ätzwirkung
pictogram-GHS06 = Totenkopf mit gekreuzten Knochen
pictogram-GHS07 = Ausrufezeichen
pictogram-GHS08 = Gesundheitsgefahr
pictogram-GHS09 = Umwelt
