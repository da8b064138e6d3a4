# Texto del Reglamento (CE) n.º 1272/2008, anexo III, según varias listas públicas (fundamento:
# fuente secundaria). H361d y H361f, según la misma redacción, de memoria.

H-H226 = Líquidos y vapores inflamables.
H-H228 = Sólido inflamable.
H-H251 = Se calienta espontáneamente; puede inflamarse.
H-H261 = En contacto con el agua desprende gases inflamables.
H-H271 = Puede provocar un incendio o una explosión; muy comburente.
H-H272 = Puede agravar un incendio; comburente.
H-H290 = Puede ser corrosivo para los metales.
H-H302 = Nocivo en caso de ingestión.
H-H312 = Nocivo en contacto con la piel.
H-H314 = Provoca quemaduras graves en la piel y lesiones oculares graves.
H-H315 = Provoca irritación cutánea.
H-H318 = Provoca lesiones oculares graves.
H-H319 = Provoca irritación ocular grave.
H-H332 = Nocivo en caso de inhalación.
H-H335 = Puede irritar las vías respiratorias.
H-H225 = Líquido y vapores muy inflamables.
H-H301 = Tóxico en caso de ingestión.
H-H331 = Tóxico en caso de inhalación.
H-H341 = Se sospecha que provoca defectos genéticos.
H-H350 = Puede provocar cáncer.
H-H361d = Se sospecha que daña al feto.
H-H361f = Se sospecha que perjudica a la fertilidad.
H-H412 = Nocivo para los organismos acuáticos, con efectos nocivos duraderos.
