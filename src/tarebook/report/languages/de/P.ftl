# Wortlaut der Verordnung (EG) Nr. 1272/2008, Anhänge III und IV, nach mehreren öffentlichen Listen
# (Grundlage: Sekundärquelle).

P-P210 = Von Hitze, heißen Oberflächen, Funken, offenen Flammen sowie anderen Zündquellen fernhalten. Nicht rauchen.
P-P220 = Von Kleidung und anderen brennbaren Materialien fernhalten.
P-P231_P232 = Inhalt unter inertem Gas handhaben und aufbewahren. Vor Feuchtigkeit schützen.
P-P234 = Nur in Originalverpackung aufbewahren.
P-P260 = Dampf oder Aerosol nicht einatmen.
P-P261 = Einatmen von Dampf oder Aerosol vermeiden.
P-P264 = Nach Gebrauch Hände gründlich waschen.
P-P271 = Nur im Freien oder in gut belüfteten Räumen verwenden.
P-P280 = Schutzhandschuhe, Schutzkleidung und Augenschutz tragen.
P-P301_P312 = BEI VERSCHLUCKEN: Bei Unwohlsein GIFTINFORMATIONSZENTRUM oder Arzt anrufen.
P-P301_P330_P331 = BEI VERSCHLUCKEN: Mund ausspülen. KEIN Erbrechen herbeiführen.
P-P302_P352 = BEI BERÜHRUNG MIT DER HAUT: Mit viel Wasser waschen.
P-P303_P361_P353 = BEI BERÜHRUNG MIT DER HAUT (oder dem Haar): Alle kontaminierten Kleidungsstücke sofort ausziehen. Haut mit Wasser abwaschen.
P-P304_P340 = BEI EINATMEN: Die Person an die frische Luft bringen und für ungehinderte Atmung sorgen.
P-P332_P313 = Bei Hautreizung: Ärztlichen Rat einholen.
P-P337_P313 = Bei anhaltender Augenreizung: Ärztlichen Rat einholen.
P-P305_P351_P338 = BEI KONTAKT MIT DEN AUGEN: Einige Minuten lang behutsam mit Wasser spülen. Eventuell vorhandene Kontaktlinsen nach Möglichkeit entfernen. Weiter spülen.
P-P310 = Sofort GIFTINFORMATIONSZENTRUM oder Arzt anrufen.
P-P370_P378 = Bei Brand: Trockenen Sand zum Löschen verwenden.
P-P390 = Verschüttete Mengen aufnehmen, um Materialschäden zu vermeiden.
P-P403_P233 = An einem gut belüfteten Ort aufbewahren. Behälter dicht verschlossen halten.
P-P405 = Unter Verschluss aufbewahren.
P-P501 = Inhalt und Behälter nach den örtlichen Vorschriften entsorgen.
P-P201 = Vor Gebrauch besondere Anweisungen einholen.
P-P273 = Freisetzung in die Umwelt vermeiden.
P-P308_P313 = BEI Exposition oder falls betroffen: Ärztlichen Rat einholen.
