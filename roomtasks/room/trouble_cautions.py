"""The cautions of a trouble, each said at the moment it matters. Common practice."""

NO_FLAMES = (
    "No generator, camping stove or gas heater indoors: carbon monoxide kills without a smell."
)
DRY_HANDS = (
    "Dry hands on plugs, drip loops on cables, and the circuit behind an RCD/GFCI; "
    "what trips it is not tried again."
)
UNPLUG = (
    "Heaters and pumps unplugged, not just switched off, before hands go in or the water drops; "
    "a heater that is still hot and uncovered cracks."
)
COVERED = "No heater runs uncovered; the reservoir's heater and pump never run dry."
SUMP_FIRST = (
    "A pump started on a low sump runs dry; a sump that was full at rest must not be topped up."
)
WATER_AND_PLUGS = (
    "Water on the floor and sockets: switch the circuit off first, then go in. Wipe before walking."
)
GLASS = "Keep off a pane that gives way: eye protection, and two people for a full tank."
OWN_GEAR = "Own net, siphon and bucket; no open cuts in the water, never start a siphon by mouth."
NOT_A_VET = (
    "This program counts days and litres. Diagnosis, medicines and humane killing are for a vet "
    "and the law of the place; the label decides a dose."
)
RAW_WATER = "Raw tap water harms fish and filters: one splash makes the whole reservoir untreated."
CHEMICALS = "Conditioner by its label, from litres and not by eye: gloves, eyes, air."
NOT_A_TEST = "A forecast is not a test: read the thermometer."
