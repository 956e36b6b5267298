"""Body: the shell that the air meets."""

from pennyspeed.domain.kinds.kind import Kind, mass_field
from pennyspeed.domain.parts.fields import Draw, Field, Shape
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.domain.units import CM2, MM


def _downforce(axle: str, on_shelf: int) -> Field:
    return Field(
        f"downforce_{axle}",
        f"downforce coefficient, {axle}",
        f"down {axle}",
        f"Presses the {axle} axle down; below 0 it lifts.",
        default=0.0,
        low=-50,
        high=50,
        draw=Draw.FIGURE,
        sure=Provenance.GUESSED,
        decimals=2,
        on_shelf=on_shelf,
    )


def _side(side: str, help: str) -> Field:
    return Field(f"{side}_mm", side, f"{side} mm", help, MM, low_open=True, high=1e4)


BODY = Kind(
    "body",
    "body",
    "bodies",
    (
        Field(
            "drag_coefficient",
            "drag coefficient",
            "drag",
            "Air drag over dynamic pressure × frontal area; drag grows with speed squared.",
            required=True,
            low=1e-4,
            high=100,
            draw=Draw.FIGURE,
            sure=Provenance.GUESSED,
            decimals=2,
            on_shelf=1,
        ),
        Field(
            "frontal_area_cm2",
            "frontal area",
            "cm²",
            "What the air sees from the front, wheels included.",
            CM2,
            required=True,
            low=0.01,
            high=1e6,
            draw=Draw.FIGURE,
            on_shelf=2,
        ),
        _downforce("front", on_shelf=3),
        _downforce("rear", on_shelf=4),
        mass_field("Painted, with wing and tape.", on_shelf=5),
        Field(
            "shape",
            "shape",
            "shape",
            "What the shell looks like; the drag coefficient is worked out from it.",
            shape=Shape.CHOICE,
            choices=("streamliner", "low coupe", "touring or GT", "truck", "open wheels"),
        ),
        _side("width", "Across the widest place, wheels included."),
        _side("height", "From the ground to the roof, as it runs."),
    ),
    needed=True,
)
