"""Words of questions that name no job: small words, plain verbs, and words for a lawn."""

from __future__ import annotations

# Verbs that only carry the job named after them: "do", "start", "put down", "hire".
LIGHT_VERBS = frozenset(
    """
    do doing done get getting go going start starting begin try use using put putting lay throw
    spread drop apply sow plant run hire rent borrow book remove rake clear tackle take plan wait
    hold delay postpone skip bother finish stop be being have having need needs want consider think
    thinking make give schedule perform attempt fill thicken renew worry care expect repeat
    benefit recover recovering survive cope handle come know tell look say help miss leave put avoid
    combine pull missed missing left happen happens measure check
    fix repair mend treat establish grow decide choose see aim time mix follow
    damage hurt harm ruin kill stop break
    treat control prevent spray count look check
    """.split()  # noqa: SIM905 (a list of words reads best as text)
)
ADVERBS = frozenset(
    """
    not still really also ever just even actually now already only first then ahead safely maybe
    perhaps possibly ideally normally usually simply both either again definitely honestly always
    realistically soon ever best to and or a the my it
    """.split()  # noqa: SIM905
)
LAWN_WORDS = frozenset(
    """
    lawn lawns grass grasses turf yard yards backyard backyards sward green bluegrass fescue fescues
    ryegrass bermuda bermudagrass zoysia bentgrass buffalograss bent kbg
    """.split()  # noqa: SIM905
)
SMALL_WORDS = frozenset(
    """
    i we you u he she they it its me us them my our your his her their the a an this that these
    those some any all each every both either neither no none one ones is are was were be been
    being am im ive id ill weve youre dont do does did doing done has have had having will would
    wont can cant could should shouldnt shall may might must ought need needs needed to of in on
    at by for from with without into onto over under up down off out about around before after
    during until till since while when where why what which who whom whose how if whether as
    than then so because but and or nor not yet just only also too very much many more most less
    least few little lot lots again now still already soon later late early first last next once
    twice here there today tomorrow tonight yesterday day days week weeks weekend weekends month
    months year years time times season seasons spring summer autumn fall winter morning
    afternoon evening please thanks thank hi hello hey good best better bad worse well ok okay
    fine right wrong sure really actually maybe perhaps possible necessary required useful
    helpful important enough effective optional garden gardens outside outdoors anything
    something nothing everything else job jobs task tasks chore chores work works working thing
    things list plan go going get getting make want like think know tell say let lets see look
    help advise advice recommend suggest suggestion due coming ahead whats hows whens isnt worth
    idea point own home new old big small front back got long often way ways window thick safe
    hot cold warm cool dormant dormancy soonest kilos kilo pounds pound lbs lb grams bags bag
    total exactly per pointless use used using problem problems bit almost half degrees
    """.split()  # noqa: SIM905
)
SOIL_WORDS = frozenset(
    """
    soil soils ground clay sand sandy loam compacted heavy wet dry damp frozen bare thin
    thinning patchy weak spot spots patch patches area areas slope shade shady shaded sun sunny
    field lightly heavily deeply deep deeper shallow hard seed seeds mix blend snow weeds weed
    moss live living drainage germination germinate frost freeze rain heat cold drought traffic
    roots people anyone anybody someone depth thickness layer inch inches mm cm per square foot
    feet metre metres meter meters sq ft rate rates acre acres quarter half instead ruin ruins
    hurt hurts harm harms kill kills stop stops affect affects damage damages break breaks
    without machine tool tines tine blades blade pass passes plugs cores holes sprinkler
    sprinklers heads head barrier prodiamine lines pipes cables buried rock
    """.split()  # noqa: SIM905
)
KNOWN_WORDS = SMALL_WORDS | LAWN_WORDS | SOIL_WORDS | LIGHT_VERBS | ADVERBS
