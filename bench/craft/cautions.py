"""Cautions: said where the work can hurt; labels, local rules and licensed practice go first."""

from __future__ import annotations

from collections.abc import Mapping

from bench.craft.beads import BeadSize
from bench.craft.cutting import passing
from bench.craft.plan import Plan

GLASS = "Glass splinters: break beads under a cloth, goggles on; sweep the bench."
NEEDLES = "Needles: count them out and in; none left in the thread or the cloth."
WIRE = "Wire ends are sharp and spring: clip both ends, eyes away, bin the pieces."
OLD_LEAD = "Wash your hands after old lead tama."
GLUE = "Glue: by its label and local rules, little at a time, with air, off skin."
WEIGHTS = "Weights: never over feet. Stick in, then weight off; weight on, then stick out."
REST = "Rest your eyes every 20 minutes, your hands every hour: advice, not proof."
"""Pauses of 20 seconds for the eyes and of 3 to 5 minutes for the hands: safeatworkca.com.

Extra pauses of 5 minutes in the hour cost no output: Galinsky et al., Ergonomics 43 (2000) 622-638
and Am. J. Ind. Med. 50 (2007) 519-527. Whether they keep from pain is not shown: Luger et al.,
Cochrane CD012886 (2019).
"""

RESTS = (
    "Eyes: look far off for a while, and blink.",
    "Hands: let them hang; open and close them slowly.",
    "Shoulders: down and back; stand up and turn.",
)
"""What a rest is for. When: as for `REST`; how: common practice, no source."""
RESTING = (
    "Advice, not proof: what your own doctor or therapist says goes before it. Pain that stays, or"
    " fingers that tingle: stop, and ask one."
)

WIRE_IN_HAND = (
    "Wire ends are sharp and spring: eyes away from the end, hold the tail, bin the pieces."
)
GLUE_IN_HAND = (
    "Glue: read its label first, work in moving air, keep your face aside and skin clear of it;"
    " no flames, no contact lenses with solvent glues."
)
NEEDLES_IN_HAND = "Count needles out and count them in again. No needle is left in a thread."
WEIGHT_IN_HAND = "Stick in first. Keep feet and fingers from under the weights."

BREAK_BEAD = (
    "Goggles on. Lift that tama, cover the bead with a cloth, thread aside; break it from inside"
    " the hole or with pliers, never under tension. Clear up every splinter; feel along the"
    " thread: nicked, change it."
)
UNHITCH = "Stick in first, then the weight off; only then unhitch the tama."
REACH_UNDER = "Stick in, weight off before you reach under."
WEIGHT_OFF = "Stick in first, then the weight off."
NEEDLE_IN_BRAID = "Count the needle out and in again; never force it through a bead."
BACK_OUT = "Ease the weight by hand; push each bead out over the rim and let the hitch out."


def cautions_for(plan: Plan, sizes: Mapping[str, BeadSize]) -> tuple[str, ...]:
    """The cautions that go with a piece, in the order of the work."""
    pattern = plan.pattern
    found = passing(plan, sizes)
    needled = found is not None and (
        found.loading.needle is not None or found.finish_needle is not None
    )
    said = {
        GLASS: any(plan.loads),
        NEEDLES: needled,
        WIRE: pattern.core is not None and pattern.core.on == "wire",
        GLUE: pattern.finish.dry_minutes > 0,
        WEIGHTS: True,
        REST: True,
    }
    return tuple(text for text, holds in said.items() if holds)
