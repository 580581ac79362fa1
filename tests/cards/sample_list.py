"""A whole checklist written by hand, all invented, in the shape that the sheet room makes: 66 items."""

from __future__ import annotations

from typing import Any


def item(
    text: str, must: bool = True, note: str = "", value: str = "", blank: str = "", role: str = ""
) -> dict[str, Any]:
    """One checklist item."""
    return {
        "id": text[:8],
        "must": must,
        "text": text,
        "note": note,
        "value": value,
        "path": (f"keyframes.{int(text[1]) - 1}.line" if "·" in value else "numbers.interval")
        if value
        else "",
        "blank": blank,
        "role": role,
    }


def section(name: str, title: str, role: str, *items: dict[str, Any], done: bool = False) -> dict[str, Any]:
    """One section of the checklist."""
    manner = "do, then confirm" if done else "read, then do"
    return {"name": name, "title": title, "manner": manner, "role": role, "part": 1, "items": list(items)}


def whole_checklist() -> list[dict[str, Any]]:
    """Every section of a rail with a head."""
    return [
        section(
            "pack",
            "Pack (1 of 2)",
            "assistant",
            item("A: rail with carriage, legs, level", False),
            item("A: slide motor", False),
            item("A: end stop", False),
            item("A: tether", False),
            item("A: motion lead", False, "head to controller"),
            item("A: 99 Wh pack, full"),
            item("A: isolating lead"),
        ),
        section(
            "pack",
            "Pack (2 of 2)",
            "assistant",
            item("Camera, plate on, battery full", False, "spare battery warm in a pocket"),
            item("Lens 14 mm, hood, cap, cloth", False),
            item("Two memory cards, backed up"),
            item("Red lamp, tape, pen", False),
            item("Waders, throw line", False),
        ),
        section(
            "rig",
            "Rail and head",
            "assistant",
            item("Mind: slipway is green and slick"),
            item("Edges and way out walked in daylight"),
            item("Letter A on every part, pack and lead", False),
            item("Rail at 12.5°, runs 300° true, home LEFT", note="motor LOW; seen from behind the rail"),
            item("Legs stamped in, short and wide", note="ballast low: pushed at the top, nothing lifts"),
            item("End stop at the low end"),
            item("Slide motor seated: flat to the notch", note="on: the low end"),
        ),
        section(
            "rig",
            "Rail and head (2 of 2)",
            "assistant",
            item("Slide motor locked: a quarter turn"),
            item("Hand under the carriage until power is on", note="unpowered, it runs down the rail"),
            item("Whole payload on: 3.4 kg"),
        ),
        section(
            "power",
            "Power",
            "assistant",
            item("Supply: 99 Wh pack, nothing else on it"),
            item("Pack cannot slide: strapped under the rail"),
            item("Two supplies: only by the isolating lead", note="made for it, same type, per the makers"),
        ),
        section(
            "cables",
            "Cables",
            "assistant",
            item("Motion lead: port T, rib to the top", note="from head; push home, tug gently"),
            item("Camera lead: release port, dot to dot", note="from controller; fits the 2.5 mm plug"),
            item("Strain relief: carriage, camera, rail ends", note="loop clear of belt and legs"),
            item("Hands, straps off carriage and belt", note="pinch points; the stop key is known"),
            item("Power on, after the last plug"),
            item("Pack still on after 2 min, rig idle"),
        ),
        section(
            "level",
            "Level and zero",
            "operator",
            item("Level in mid-rail: two pans 90° apart", note="before focus and keyframes, never after"),
            item("Carriage at each end: bubble the same"),
            item("Pan 0 looks at 225° true", note="compass 5 m from steel and motors: ±3°"),
            item("Slide 0 at the home end, LEFT"),
        ),
        section(
            "remote",
            "First drive",
            "operator",
            item("Remote HANGS: never lay it down", note="tilted, it steers, until the run has started"),
            item("Jog right: goes right", note="seen from behind, facing the subject"),
            item("Full slide, pan, tilt: nothing snags", note="both ends watched"),
        ),
        section(
            "camera",
            "Camera",
            "operator",
            item(
                "Sun near the frame: cap on while aiming", note="never look at it through lens or viewfinder"
            ),
            item("Card formatted, AFTER the backup"),
            item("Camera − phone", False, blank="s"),
            item("M: exposure by hand", note="no auto ISO; white balance fixed"),
            item("Stabilisation off, body and lens"),
            item("Long-exposure noise reduction off", note="it doubles the gap"),
            item("Focus manual, magnified, taped", note="night aperture, far light; again once taped"),
        ),
        section(
            "keyframes",
            "Keyframes",
            "operator",
            item(
                "Come to each mark in running direction", note="from the start's side: backlash lies one way"
            ),
            item("K3 END stored, tape marked", value="S 1060 mm · P −81.2° · T +18.1°", blank="as set"),
            item("K2 MIDDLE stored, tape marked", value="S 530 mm · P 0.0° · T +3.0°", blank="as set"),
            item("K1 START stored, tape marked", value="S 0 mm · P +72.1° · T +6.4°", blank="as set"),
        ),
        section(
            "program",
            "Program",
            "operator",
            item("Interval, frame start to frame start", value="18 s"),
            item("Dwell after firing", value="14 s", note="longest shutter of the night + lag"),
            item("Frames", value="766"),
            item("Hold, start and end", value="1 fr"),
            item("Ease, in and out", value="40 fr"),
        ),
        section(
            "ready",
            "Ready to roll",
            "operator",
            item("Bubble unchanged: LOOK, do not touch", note="levelled again, every keyframe is void"),
            item("Cap off, lamps out"),
            item("Five real frames: each fires, then moves"),
            item("Driven back to K1, on its tape marks"),
            item("Frame 1 will be", blank="file number", note="frame n is file first + n − 1"),
            item("Frame 1 has fired", value="19:30"),
            done=True,
        ),
        section(
            "rolling",
            "Rolling",
            "assistant",
            item("Remote off, or locked and stowed", note="as soon as frame 1 has fired"),
            item("Every 30 min: rig count = camera count", note="a gap is a missed trigger: see to the lead"),
            item(
                "Thunder heard: leave the rig, go indoors",
                note="back 30 min after the last; local rules first",
            ),
        ),
        section(
            "swap",
            "Hot swap",
            "assistant",
            item(
                "Swap within", value="frames 121–301, 20:06–21:00", note="new pack: letter A, full, same type"
            ),
            item("Hand under the carriage BEFORE power off", note="or before any release: it runs down"),
            item(
                "New pack on by the isolating lead, then old off",
                note="made for it, same type, per the makers",
            ),
            item("Power lost: position kept, counts compared"),
            item("New pack cannot slide; swapped at", blank="frame"),
        ),
        section(
            "wrap",
            "Wrap",
            "assistant",
            item("Last shutter closed", value="23:20"),
            item("Cap on, power off"),
            item("Cards out and safe, not formatted"),
            item("Tape off lens, camera and rig", False),
            item("All 14 things of the packing list back", note="counted; then a lamp over the ground"),
            item("Checked out with", blank="name", role="operator"),
            done=True,
        ),
    ]
