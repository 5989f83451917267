/** Lines that stand over every output. They are not computed, and nothing switches them off. */

/** Least distance of the audience, m (10 ft; demonstration guideline read as R-ACS10 in data/hazards/ppe_firstaid_spill.csv). */
export const AUDIENCE_DISTANCE_M = 3
/** An open vessel holds this many times the liquid (hazards facts, section 2; common practice, no source). */
export const VESSEL_OVER_LIQUID = 3

/** From data/hazards/ppe_firstaid_spill.csv and the hazards notes, section 2: who, where, how much, before, mixing, after. */
export const standingLines: readonly string[] = [
  "The law of the place, the rules of your institution and the supplier's safety data sheet win over everything printed here.",
  'Only a trained, authorised person does this, after a written risk assessment and a rehearsal, with a second trained person in the room.',
  "Goggles for everyone in reach (EN 166 mark 3 or 5, ANSI/ISEA Z87.1 D3 or better); spectacles are no protection. Coat, closed shoes, hair tied, gloves chosen from the maker's table.",
  `Fume hood or strong ventilation wherever iodine, bromine, chlorine, sulfur dioxide, ammonia or peroxide mist can form. Smell is no guard.`,
  `Audience at ${AUDIENCE_DISTANCE_M} m or more, behind a shield where anything can spray; exits, eyewash and extinguisher free.`,
  `Smallest scale that can be seen, in an open vessel ${VESSEL_OVER_LIQUID} times the volume, in a tray. Never close a vessel or bottle that holds a reacting mixture.`,
  'Acid into water. Oxidisers and reductants never together as dry solids. Nothing goes back into a bottle.',
  'In the eye: rinse at once for 15 to 20 min, then a doctor. Breathed halogen: fresh air and a doctor even if well. This is no medical advice: call the local emergency or poison number.',
  'Leftovers are treated only where your institution and local authority allow it; else collect, label, vent and hand over.',
]
