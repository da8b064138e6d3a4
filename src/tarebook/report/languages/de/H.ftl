# Wortlaut der Verordnung (EG) Nr. 1272/2008, Anhänge III und IV, nach mehreren öffentlichen Listen
# (Grundlage: Sekundärquelle).

H-H226 = Flüssigkeit und Dampf entzündbar.
H-H228 = Entzündbarer Feststoff.
H-H251 = Selbsterhitzungsfähig; kann in Brand geraten.
H-H261 = In Berührung mit Wasser entstehen entzündbare Gase.
H-H271 = Kann Brand oder Explosion verursachen; starkes Oxidationsmittel.
H-H272 = Kann Brand verstärken; Oxidationsmittel.
H-H290 = Kann gegenüber Metallen korrosiv sein.
H-H302 = Gesundheitsschädlich bei Verschlucken.
H-H312 = Gesundheitsschädlich bei Hautkontakt.
H-H314 = Verursacht schwere Verätzungen der Haut und schwere Augenschäden.
H-H315 = Verursacht Hautreizungen.
H-H318 = Verursacht schwere Augenschäden.
H-H319 = Verursacht schwere Augenreizung.
H-H332 = Gesundheitsschädlich bei Einatmen.
H-H335 = Kann die Atemwege reizen.
H-H225 = Flüssigkeit und Dampf leicht entzündbar.
H-H301 = Giftig bei Verschlucken.
H-H331 = Giftig bei Einatmen.
H-H341 = Kann vermutlich genetische Defekte verursachen.
H-H350 = Kann Krebs erzeugen.
H-H361d = Kann vermutlich das Kind im Mutterleib schädigen.
H-H361f = Kann vermutlich die Fruchtbarkeit beeinträchtigen.
H-H412 = Schädlich für Wasserorganismen, mit langfristiger Wirkung.
