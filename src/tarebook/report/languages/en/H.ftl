# Texts of Regulation (EC) No 1272/2008, Annexes III and IV, as carried in several public lists (basis:
# secondary); their spelling is the regulation's.

H-H226 = Flammable liquid and vapour.
H-H228 = Flammable solid.
H-H251 = Self-heating; may catch fire.
H-H261 = In contact with water releases flammable gases.
H-H271 = May cause fire or explosion; strong oxidiser.
H-H272 = May intensify fire; oxidiser.
H-H290 = May be corrosive to metals.
H-H302 = Harmful if swallowed.
H-H312 = Harmful in contact with skin.
H-H314 = Causes severe skin burns and eye damage.
H-H315 = Causes skin irritation.
H-H318 = Causes serious eye damage.
H-H319 = Causes serious eye irritation.
H-H332 = Harmful if inhaled.
H-H335 = May cause respiratory irritation.
H-H225 = Highly flammable liquid and vapour.
H-H301 = Toxic if swallowed.
H-H331 = Toxic if inhaled.
H-H341 = Suspected of causing genetic defects.
H-H350 = May cause cancer.
H-H361d = Suspected of damaging the unborn child.
H-H361f = Suspected of damaging fertility.
H-H412 = Harmful to aquatic life with long lasting effects.
