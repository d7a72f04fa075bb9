"""Names of the numbers that describe a scene to the painter: one row a picture, one row a thing on the bench."""

from collections import namedtuple

# what a thing is to the label maps
THING, PANEL, OBJECT, CARD = 0, 1, 2, 3

_THING = """
h0 h1 h2 h3 h4 h5 h6 h7 h8
hw hh round bend_u bend_v taper chamfer hole_u hole_v hole_r hole_long
red green blue red2 green2 blue2 grad_u grad_v
sparkle mottle mottle_scale streak bevel bevel_lit lit_u lit_v dome reflection reflection_scale opacity
g0_u g0_v g0_ru g0_rv g0_turn g0_strength g0_square
g1_u g1_v g1_ru g1_rv g1_turn g1_strength g1_square
shadow_u shadow_v shadow_soft shadow_depth
kind id texture seed used
""".split()

_PICTURE = """
g0 g1 g2 g3 g4 g5 g6 g7 g8
seed
a_red a_green a_blue b_red b_green b_blue line_red line_green line_blue spot_red spot_green spot_blue
warp warp_scale
n0 n0_sx n0_sy n1 n1_sx n1_sy n2 n2_sx n2_sy n3 n3_sx n3_sy
ring ring_freq ring_sharp
weave weave_freq
cell_w cell_h cell_shift cell_tone cell_checker line_width line_share
rib rib_freq
spot_share spot_scale spot_soft
text text_row text_col
hue_noise
light_u light_v vignette
s0_x s0_y s0_nx s0_ny s0_soft s0_depth
s1_x s1_y s1_rx s1_ry s1_turn s1_soft s1_depth
s2_x s2_y s2_rx s2_ry s2_turn s2_soft s2_depth
blind blind_freq blind_turn
shadow_blue
blur motion motion_turn exposure gain_red gain_blue saturation tone tone_a tone_b tone_c noise chroma_noise jpeg
flare
""".split()

Things, Pictures = namedtuple("Things", _THING), namedtuple("Pictures", _PICTURE)
THING_AT = {name: i for i, name in enumerate(_THING)}
PICTURE_AT = {name: i for i, name in enumerate(_PICTURE)}


def by_name(rows, kind):
    """A batch of rows, each number by its name and shaped to broadcast over pictures B x H x W."""
    return kind(*[rows[:, i, None, None] for i in range(len(kind._fields))])
