# Texts of Regulation (EC) No 1272/2008, Annexes III and IV, as carried in several public lists (basis:
# secondary); their spelling is the regulation's.

P-P210 = Keep away from heat, hot surfaces, sparks, open flames and other ignition sources. No smoking.
P-P220 = Keep away from clothing and other combustible materials.
P-P231_P232 = Handle and store contents under inert gas. Protect from moisture.
P-P234 = Keep only in original packaging.
P-P260 = Do not breathe vapours or spray.
P-P261 = Avoid breathing vapours or spray.
P-P264 = Wash hands thoroughly after handling.
P-P271 = Use only outdoors or in a well-ventilated area.
P-P280 = Wear protective gloves, protective clothing and eye protection.
P-P301_P312 = IF SWALLOWED: Call a POISON CENTER or a doctor if you feel unwell.
P-P301_P330_P331 = IF SWALLOWED: Rinse mouth. Do NOT induce vomiting.
P-P302_P352 = IF ON SKIN: Wash with plenty of water.
P-P303_P361_P353 = IF ON SKIN (or hair): Take off immediately all contaminated clothing. Rinse skin with water.
P-P304_P340 = IF INHALED: Remove person to fresh air and keep comfortable for breathing.
P-P332_P313 = If skin irritation occurs: Get medical advice.
P-P337_P313 = If eye irritation persists: Get medical advice.
P-P305_P351_P338 = IF IN EYES: Rinse cautiously with water for several minutes. Remove contact lenses, if present and easy to do. Continue rinsing.
P-P310 = Immediately call a POISON CENTER or a doctor.
P-P370_P378 = In case of fire: Use dry sand to extinguish.
P-P390 = Absorb spillage to prevent material damage.
P-P403_P233 = Store in a well-ventilated place. Keep container tightly closed.
P-P405 = Store locked up.
P-P501 = Dispose of contents and container as the local rules say.
P-P201 = Obtain special instructions before use.
P-P273 = Avoid release to the environment.
P-P308_P313 = IF exposed or concerned: Get medical advice.
