# Texto del Reglamento (CE) n.º 1272/2008, anexo IV, según varias listas públicas (fundamento: fuente
# secundaria); P201, P231+P232, P234 y P390, de memoria.

P-P210 = Mantener alejado del calor, de superficies calientes, de chispas, de llamas abiertas y de cualquier otra fuente de ignición. No fumar.
P-P220 = Mantener alejado de la ropa y otros materiales combustibles.
P-P231_P232 = Manipular y almacenar el contenido en un medio de gas inerte. Proteger de la humedad.
P-P234 = Conservar únicamente en el embalaje original.
P-P260 = No respirar los vapores o el aerosol.
P-P261 = Evitar respirar los vapores o el aerosol.
P-P264 = Lavarse las manos concienzudamente tras la manipulación.
P-P271 = Utilizar únicamente en exteriores o en un lugar bien ventilado.
P-P280 = Llevar guantes, prendas y gafas de protección.
P-P301_P312 = EN CASO DE INGESTIÓN: Llamar a un CENTRO DE TOXICOLOGÍA o a un médico si la persona se encuentra mal.
P-P301_P330_P331 = EN CASO DE INGESTIÓN: Enjuagar la boca. NO provocar el vómito.
P-P302_P352 = EN CASO DE CONTACTO CON LA PIEL: Lavar con abundante agua.
P-P303_P361_P353 = EN CASO DE CONTACTO CON LA PIEL (o el pelo): Quitar inmediatamente toda la ropa contaminada. Enjuagar la piel con agua.
P-P304_P340 = EN CASO DE INHALACIÓN: Transportar a la persona al aire libre y mantenerla en una posición que le facilite la respiración.
P-P332_P313 = En caso de irritación cutánea: Consultar a un médico.
P-P337_P313 = Si persiste la irritación ocular: Consultar a un médico.
P-P305_P351_P338 = EN CASO DE CONTACTO CON LOS OJOS: Enjuagar con agua cuidadosamente durante varios minutos. Quitar las lentes de contacto cuando estén presentes y pueda hacerse con facilidad. Proseguir con el lavado.
P-P310 = Llamar inmediatamente a un CENTRO DE TOXICOLOGÍA o a un médico.
P-P370_P378 = En caso de incendio: Utilizar arena seca para la extinción.
P-P390 = Absorber el vertido para que no dañe otros materiales.
P-P403_P233 = Almacenar en un lugar bien ventilado. Mantener el recipiente cerrado herméticamente.
P-P405 = Guardar bajo llave.
P-P501 = Eliminar el contenido y el recipiente según las normas locales.
P-P201 = Solicitar instrucciones especiales antes del uso.
P-P273 = Evitar su liberación al medio ambiente.
P-P308_P313 = EN CASO DE exposición manifiesta o presunta: Consultar a un médico.
