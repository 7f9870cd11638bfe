"""How people at a bench say things: words that tell nothing, words for *no*, and words that mean the same.

All of it is judgement, from how owners write on repair boards. Words stand here as they are said; the folding
cuts their endings. What one family alone says belongs in its pack, beside the complaint (`also`).
"""

from __future__ import annotations

from typing import Final

_IDLE = """
    a an the is it its this that there to of on in at and or but i my me we he she they him her be been was
    were am are has have had do does did just when then so very quite really please some any with for from
    as if by will would can could get gets got old laptop computer machine you your all absolutely always
    keeps keep solid about after once until again goes go going even into up fine tried try
"""
IDLE: Final = frozenset(_IDLE.split())
"""Words that tell nothing apart."""

_NOT = """
    no not never nothing none nor neither without wont doesnt dont didnt cant cannot couldnt wouldnt isnt
    arent wasnt werent hasnt havent aint refuses refuse
"""
NOT: Final = frozenset(_NOT.split())

THERE: Final = (
    "find",
    "found",
    "see",
    "seen",
    "detect",
    "detected",
    "recognise",
    "recognize",
    "know",
    "known",
)
"""Words that say of a thing only that it is there: a disk not found is no disk."""

FAILING: Final = ("dead", "gone", "missing", "faulty", "bad", "broken", "!work")
"""Words that say of a thing that it fails: a dead backlight is also no backlight."""

_WHEN = """
    ten twenty thirty five fifteen half quarter few minute minutes hour hours second seconds while day days
    week morning yesterday today now later whenever random randomly sometimes often time times
"""
WHEN: Final = tuple(_WHEN.split())
"""Words that say when: they tell little of what is wrong, and weigh less."""

IRREGULAR: Final = {
    "froze": "freeze", "frozen": "freeze", "hung": "hang", "blew": "blow", "blown": "blow",
    "died": "die", "dying": "die", "burnt": "burn", "lost": "lose", "losing": "lose",
    "forgot": "forget", "forgotten": "forget", "spun": "spin", "shrunk": "shrink", "swollen": "swell",
    "broke": "break", "broken": "break", "heard": "hear", "ran": "run", "stank": "stink", "lit": "light",
    "shook": "shake", "shone": "shine", "jammed": "jam", "came": "come", "bent": "bend",
    "began": "begin", "held": "hold",
}  # fmt: skip
"""Forms that no ending gives away."""

PHRASES: Final = {
    "hard disks": "disk", "hard disk": "disk", "hard drives": "disk", "hard drive": "disk",
    "touch pad": "touchpad", "known good": "other", "black and white": "no colour",
    "locks up": "freeze", "lock up": "freeze", "locked up": "freeze", "locking up": "freeze",
    "locks solid": "freeze", "locked solid": "freeze", "seizes up": "freeze", "seized up": "freeze",
    "stops dead": "freeze", "stopped dead": "freeze", "stop dead": "freeze", "dead in its tracks": "freeze",
    "stops responding": "freeze", "stopped responding": "freeze", "stop responding": "freeze",
    "packed up": "dead", "given up": "dead", "gives up": "dies", "gave up": "dies", "conked out": "dead",
    "cuts out": "cutsout", "cut out": "cutsout", "on its own": "itself", "by itself": "itself",
    "by themselves": "itself", "of its own accord": "itself",
    "blue screen": "crash", "bomb box": "crash", "no sign of life": "dead", "no signs of life": "dead",
    "shuts down": "switch off", "shut down": "switch off", "shutting down": "switch off",
    "powers down": "switch off", "powers off": "switch off", "power off": "switch off",
    "powers on": "switch", "powers up": "switch", "power up": "switch", "power on": "switch",
    "powering on": "switch", "powering up": "switch",
    "under load": "hot",
}  # fmt: skip
"""Words that only together say one thing."""

SAME: Final = {
    "display": "screen", "monitor": "screen", "lcd": "screen", "telly": "television", "tv": "television",
    "image": "picture", "blank": "black", "faint": "dim", "turn": "switch", "shut": "switch",
    "boot": "start", "harddisk": "disk", "harddrive": "disk", "hdd": "disk", "noise": "sound",
    "overheat": "hot", "warm": "hot", "ram": "memory", "cdrom": "cd", "dvd": "cd", "disc": "cd",
    "touchpad": "pointer", "trackpad": "pointer", "mouse": "pointer", "trackball": "pointer",
    "cursor": "pointer", "mice": "pointer", "diskette": "floppy", "passcode": "password", "joint": "solder",
    "voltage": "volt", "v": "volt",
    "colour": "color", "grey": "gray", "min": "minute", "mins": "minute", "loudspeaker": "speaker",
    "darker": "dark", "dimmer": "dim",
}  # fmt: skip
"""Words that are one for every purpose here."""

NEAR: Final = """
    backlight light lit glow
    dark dim dull faint black
    dead !power !switch !start !work !life
    dead die
    capacitor electrolytic cap recap can
    supply psu power adapter brick charger
    lead cord cable plug
    burn smoke fried fry bang pop
    leak crust corrosion corroded acid green verdigris
    click tick knock tap rattle
    chirp tweet squeal whine whistle
    freeze hang crash lock stall
    freeze !move
    restart reboot reset
    garble garbage corrupt scramble checker rubbish gibberish
    garbage character
    stripe line bar band
    roll wobble shake wave jitter scroll
    snow fuzz static hiss
    snow television
    date clock time
    battery cell pack
    led lamp light
    flash blink
    hum buzz
    block sector
    faulty bad broken break defective
    key keyboard
    smell stink odour reek
    tube crt
    swell bulge puff
    sticky gooey tacky
    tape cassette
    terminator terminate termination
    fuse blow trip breaker
    loud noisy grind rattle scream howl roar
    sound speaker hear
    hot heat
    crack broken smash snap
    slow sluggish
    narrow small shrink thin collapse
    cold morning
    cmos clock
    setting setup cmos
    wiggle loose wobbly
    charge charger
    slap thump hit bash
    face icon
    respond answer work
    forget lose
    network ethernet
    number address
    joystick stick
    letter key
    die !charge
    stop hang
    spin turn
    cutsout twitch
    television screen
    other another different swap replace exchange renew
    clean wipe swab wash
    check measure read look
    reseat seat press
    chime bong chord
"""
"""Words that mean nearly the same, a line each."""
