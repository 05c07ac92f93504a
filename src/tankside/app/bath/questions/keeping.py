"""What is asked of a bath that is kept: its usual week, its additions, its rinses, its end; of a
label; and of what may be used or may meet.

Hints that name no source are common practice.
"""

from tankside.app.bath.dose_the_additive import PANELS
from tankside.app.bath.forecast_a_bath import MOST_WEEKS
from tankside.app.bath.questions.field import (
    Asked,
    Group,
    Question,
    dissolved,
    named,
    share,
    size,
    whole,
)
from tankside.app.bath.rinse_a_part import MOST_PARTS
from tankside.base.units import Kind
from tankside.bath.bases import bases
from tankside.bath.rinsing import MOST_STAGES, films, rinse_goals
from tankside.safety.activities import Activity, Coat

STILL = 3
"""Still rinses in a row that a form has room for."""

TOGETHER = 4
HANDLED = 2

PANEL_WORDS = {"bright": "bright", "dull": "dull", "overdosed": "hazy, pitted or brittle: too much"}
REMOVALS = (
    ("none", "leave it in"),
    ("plate", "plate it out first"),
    ("cement", "drop it on steel wool first"),
)

_AREA = "The part's page tells it; both sides of a shell count."

FORECAST = Question(
    name="forecast",
    words="A usual week",
    groups=(
        Group(
            fields=(
                Asked(key="charge", words="Plated in a week", example="20 Ah",
                      read=size(Kind.CHARGE, zero=True), option="--per-week charge",
                      help="Amps times hours. Anodes give about as much copper back as the parts "
                      "take; what is between the two drifts."),
                Asked(key="area", words="Parts lifted out in a week", example="9 dm^2",
                      read=size(Kind.AREA, zero=True), option="--per-week area",
                      help="Their wetted area in all: bath clings to it and is carried away."),
                Asked(key="water", words="Topped up with", usual="distilled water",
                      listed="waters", option="--per-week water",
                      help="Chloride and lime of tap water stay in the bath; only water leaves."),
                Asked(key="other_water", words="Compared with", listed="waters",
                      option="--per-week water", help="What another water would do."),
                Asked(key="weeks", words="Weeks ahead", usual="26", read=whole(1, MOST_WEEKS),
                      option="--weeks"),
            )
        ),
        Group(
            words="How much goes into the air",
            fields=(
                Asked(key="open", words="It stands open in a week", example="70 h",
                      read=size(Kind.TIME, zero=True), option="--per-week open",
                      help="A lid keeps nearly all of it."),
                Asked(key="surface", words="Open surface", example="6 dm^2",
                      read=size(Kind.AREA, zero=True), option="--per-week surface"),
                Asked(key="temperature", words="The bath then", usual="25 degC",
                      read=size(Kind.TEMPERATURE), option="--per-week temperature"),
                Asked(key="room", words="The room", usual="22 degC", read=size(Kind.TEMPERATURE),
                      option="--per-week room"),
                Asked(key="humidity", words="Humidity of the room", usual="50 %", read=share,
                      option="--per-week humidity"),
            ),
        ),
        Group(
            words="Idle anodes, and hard water",
            more=True,
            fields=(
                Asked(key="idle", words="Anodes hang in it without current", example="100 h",
                      read=size(Kind.TIME, zero=True), option="--per-week idle",
                      help="Air and acid dissolve copper meanwhile; taken out they give none."),
                Asked(key="anode_area", words="Area of the anodes", example="8 dm^2",
                      read=size(Kind.AREA, zero=True), option="--per-week anode_area"),
                Asked(key="hardness", words="Hardness of the water", example="200 mg/L",
                      read=size(Kind.MASS_CONCENTRATION, zero=True), option="--hardness",
                      help="As calcium carbonate; one German degree is 17.8 mg/L. Its lime falls "
                      "as gypsum."),
            ),
        ),
    ),
)  # fmt: skip

DOSE = Question(
    name="dose",
    words="What to add",
    groups=(
        Group(
            fields=(
                Asked(key="probability", words="So sure that all is inside", usual="90 %",
                      read=share, option="--probability",
                      help="More certainty takes a measurement sooner than more of a bottle."),
                Asked(key="capacity", words="The tank may hold", example="12 L",
                      read=size(Kind.VOLUME), option="--capacity",
                      help="Empty: the vessel of your shelf, less a twentieth for the brim."),
                Asked(key="least", words="It must hold", example="10 L", read=size(Kind.VOLUME),
                      option="--least", help="Empty: what it holds now."),
                Asked(key="panel", words="The last test panel was",
                      choices=(("", "not plated"),
                               *((one, PANEL_WORDS[one]) for one in PANELS)),
                      option="--panel",
                      help="Ampere-hours propose a brightener's dose, and only a panel decides."),
            )
        ),
    ),
)  # fmt: skip

RINSE = Question(
    name="rinse",
    words="Rinse and drag-out",
    groups=(
        Group(
            fields=(
                Asked(key="area", words="Wetted area of a part", example="9 dm^2", needed=True,
                      read=size(Kind.AREA), option="--area", help=_AREA),
                Asked(key="film", words="It drains", usual="vertical well drained",
                      choices=named(tuple(films()), lambda name: films()[name].words),
                      option="--film",
                      help="What clings by how it drains: Graham's handbook table of 1971, from "
                      "memory. Weigh a wet and a dry part once and you know your own."),
                Asked(key="parts", words="Parts that go through", usual="1",
                      read=whole(1, MOST_PARTS), option="--parts"),
                Asked(key="goal", words="Clean enough for", usual="plated work",
                      choices=tuple(
                          (name, f"{name}: {ratio:.0f} times thinner than the bath")
                          for name, ratio in rinse_goals().items()
                      ),
                      option="--goal",
                      help="How much thinner than the bath the last rinse is to be, by handbooks "
                      "of the trade."),
            )
        ),
        Group(
            words="Rinses that stand",
            fields=(
                *(Asked(key=f"still{number}", words=f"Rinse {number}", example="4 L",
                        read=size(Kind.VOLUME), option="--still",
                        help="Two small tubs one after the other do more than one large."
                        if number == 1 else "")
                  for number in range(1, STILL + 1)),
                Asked(key="evaporated", words="The bath loses meanwhile", example="5 L",
                      read=size(Kind.VOLUME, zero=True), option="--evaporated",
                      help="Filled up from the first rinse, that much copper comes back."),
            ),
        ),
        Group(
            words="The bath, and rinses that run",
            more=True,
            fields=(
                Asked(key="copper", words="Copper", example="50 g/L", needed=True,
                      read=dissolved("Cu"), option="--copper"),
                Asked(key="acid", words="Sulfuric acid", example="58 g/L", needed=True,
                      read=dissolved("H2SO4"), option="--acid"),
                Asked(key="stages", words="Running rinses, at most", usual="2",
                      read=whole(1, MOST_STAGES), option="stages",
                      help="Running water leaves as copper waste all the same: it has to be "
                      "caught."),
            ),
        ),
    ),
)  # fmt: skip

RETIRE = Question(
    name="retire",
    words="Retire it",
    groups=(
        Group(
            fields=(
                Asked(key="name", words="Called, on the hand-over",
                      usual="Retired copper bath"),
                Asked(key="containers", words="Canisters that it stands in", usual="1",
                      read=whole(1, 200)),
                Asked(key="complexed", words="Citrate, ammonia or EDTA is in it", tick=True,
                      help="They hold copper dissolved at any pH, so it does not fall out."),
            )
        ),
        Group(
            words="If those who decide let you treat it",
            fields=(
                Asked(key="removal", words="The copper", usual="none", choices=REMOVALS,
                      help="Plating it out gives the copper back; steel wool only needs a bucket."),
                Asked(key="plate_out", words="Plated out down to", example="2 g/L",
                      read=dissolved("Cu"), option="--plate-out",
                      help="Under a gram a litre the current makes hydrogen more and more."),
                Asked(key="base", words="Neutralised with", usual="soda-ash", option="--base",
                      choices=named(tuple(bases()), lambda name: bases()[name].words),
                      help="Soda foams, lye heats, lime makes several times the sludge."),
                Asked(key="dissolved", words="It goes in as a solution", tick=True),
                Asked(key="vessel", words="In a vessel of", example="60 L",
                      read=size(Kind.VOLUME), option="--vessel",
                      help="Foam needs room: it tells in how many portions."),
            ),
        ),
    ),
)  # fmt: skip

LABEL = Question(
    name="label",
    words="A label",
    groups=(
        Group(
            fields=(
                Asked(key="of", words="For", needed=True,
                      help="A bath as its ledger knows it, a bottle of your shelf, or a common "
                      "product."),
                Asked(key="name", words="What stands on top", example="Bath 1, conventional",
                      help="Empty: its name. Who finds the bottle must know what it is."),
                Asked(key="copies", words="Labels", usual="1", read=whole(1, 2)),
            )
        ),
    ),
)  # fmt: skip

_DOING_WORDS = {
    "mixing": "mixing",
    "plating": "plating",
    "titrating": "titrating",
    "neutralising": "neutralising",
    "retiring": "retiring a bath",
    "painting": "painting a coat",
    "sealing": "sealing",
    "storing": "storing",
}

SAFE = Question(
    name="safe",
    words="May this be used, may these meet?",
    groups=(
        Group(
            words="May these meet?",
            fields=(
                *(Asked(key=f"together{number}", words=f"Substance {number}",
                        example=("ammonia", "bleach", "", "")[number - 1], listed="substances",
                        option="--together",
                        help="Whatever comes into the same vessel, sink, bin or cupboard."
                        if number == 1 else "")
                  for number in range(1, TOGETHER + 1)),
            ),
        ),
        Group(
            words="May this be poured into that?",
            fields=(
                Asked(key="pour", words="Pour", example="water", listed="substances",
                      option="--pour"),
                Asked(key="into", words="Into", example="sulfuric acid", listed="substances",
                      option="--into"),
                Asked(key="strength", words="Which is so strong", example="96 %", read=share,
                      option="--strength", help="By mass, as its label says. Empty: pure."),
            ),
        ),
        Group(
            words="May this be used?",
            fields=(
                Asked(key="anode", words="As an anode", example="copper pipe", listed="anodes",
                      option="--anode",
                      help="It dissolves into the bath: what is in it comes out on the part, and "
                      "into the air."),
                Asked(key="base_metal", words="Under acid copper", example="graphite paint",
                      listed="base_metals", option="--base-metal"),
                Asked(key="heater", words="As a heater", example="glass aquarium heater",
                      listed="heaters", option="--heater"),
                Asked(key="bath", words="As a bath here", example="acid sulfate",
                      listed="baths", option="--bath"),
            ),
        ),
        Group(
            words="What is to be minded while doing that?",
            fields=(
                Asked(key="doing", words="Doing", option="--doing",
                      choices=(("", "nothing"),
                               *((one.value, _DOING_WORDS[one.value]) for one in Activity))),
                *(asked
                  for number in range(1, HANDLED + 1)
                  for asked in (
                      Asked(key=f"handled{number}", words=f"With substance {number}",
                            example="sulfuric acid", listed="substances"),
                      Asked(key=f"handled_strength{number}", words=f"Strength of {number}",
                            example="37 %", read=share),
                  )),
                Asked(key="temperature", words="At", usual="20 degC",
                      read=size(Kind.TEMPERATURE), option="--temperature"),
                Asked(key="air", words="Air bubbles through it", tick=True),
                Asked(key="coat", words="A coat or sealer", option="--coat",
                      choices=(("", "none"), *((one.value, one.value) for one in Coat))),
            ),
        ),
    ),
)  # fmt: skip
