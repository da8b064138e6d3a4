pictogram-GHS02 = llama
pictogram-GHS03 = llama sobre un círculo
pictogram-GHS05 = corrosión
pictogram-GHS06 = calavera y tibias cruzadas
pictogram-GHS07 = signo de exclamación
pictogram-GHS08 = peligro para la salud
pictogram-GHS09 = medio ambiente
