/* What gives way at the widest place is nearly in proportion to one over E I, and the rest, by
 * E A, nearly constant: secants on it are exact after a few steps. The throat's factor is bracketed
 * by factors of two, then halved between. */
#include "mechanics/squeeze.h"

#include <math.h>

/* Strands play no part. */
static struct hoop without_strands(const struct hoop *hoop) {
    struct hoop bare = *hoop;
    bare.lines = hoop->lines + hoop->strand_count;
    bare.strand_count = 0;
    bare.line_count = GAUGES;
    bare.bearing_count = 0;
    return bare;
}

bool squeezes_of(const struct hoop *hoop, struct hoop_stiffness stiffness,
                 const struct algebra *algebra, struct arena *arena, struct squeezes *squeezes) {
    struct arena_mark mark = arena_mark(arena);
    struct hoop bare = without_strands(hoop);
    const struct compliance *c = compliance_of(&bare, stiffness, COMPLIANCE_BARE, algebra, arena);
    if (c != NULL)
        *squeezes = (struct squeezes){1 / gives(c, GAUGE_WIDTH, GAUGE_WIDTH),
                                      1 / gives(c, GAUGE_LENGTH, GAUGE_LENGTH)};
    arena_rewind(arena, mark);
    return c != NULL;
}

struct fit {
    const struct hoop *hoop;
    const struct algebra *algebra;
    struct arena *arena;
    struct squeezes measured, got;
    struct hoop_stiffness stiffness;
};

/* Finds the bending stiffness for the throat at hand. */
static enum squeeze_fit fit_bending(struct fit *fit) {
    enum { STEPS = 60 };
    static const double EXACT = 1e-13, STIFFEST = 1e14; /* N mm2 */
    double wanted = 1 / fit->measured.wide;
    double before = 0, before_gives = 0;
    for (int i = 0; i < STEPS; i++) {
        double slack = 1 / fit->stiffness.bending;
        if (!squeezes_of(fit->hoop, fit->stiffness, fit->algebra, fit->arena, &fit->got))
            return SQUEEZE_CANNOT_BE_SOLVED;
        double gives_way = 1 / fit->got.wide, lacks = wanted - gives_way;
        if (fabs(lacks) <= EXACT * wanted) return SQUEEZE_FITS;
        double slope =
            before != 0 ? (gives_way - before_gives) / (slack - before) : gives_way / slack;
        double next = slack + lacks / slope;
        if (fabs(next - slack) <= EXACT * slack) return SQUEEZE_FITS;
        if (slack < 1 / STIFFEST) return SQUEEZE_TOO_STIFF;
        if (!(next > slack / 100)) next = slack / 100;
        before = slack;
        before_gives = gives_way;
        fit->stiffness.bending = 1 / next;
    }
    return SQUEEZE_FITS; /* as near as rounding lets it come */
}

/* By how much too stiff the hoop is lengthwise, once it fits across. */
static enum squeeze_fit try_throat(struct fit *fit, double throat, double *too_stiff) {
    fit->stiffness.throat = throat;
    enum squeeze_fit found = fit_bending(fit);
    *too_stiff = fit->got.lengthwise - fit->measured.lengthwise;
    return found;
}

static enum squeeze_fit fit_throat(struct fit *fit) {
    enum { HALVINGS = 60 };
    static const double EXACT = 1e-12;
    double low = LEAST_THROAT, at_low, at_high = 0;
    enum squeeze_fit found = try_throat(fit, low, &at_low);
    if (found != SQUEEZE_FITS) return found;
    double high = low;
    while (high < MOST_THROAT) {
        high *= 2;
        found = try_throat(fit, high, &at_high);
        if (found != SQUEEZE_FITS) return found;
        if ((at_low <= 0) != (at_high <= 0)) break;
        low = high;
        at_low = at_high;
    }
    if ((at_low <= 0) == (at_high <= 0)) return SQUEEZE_NO_THROAT;
    for (int i = 0; i < HALVINGS && high - low > EXACT * low; i++) {
        double middle = sqrt(low * high), at_middle;
        found = try_throat(fit, middle, &at_middle);
        if (found != SQUEEZE_FITS) return found;
        if ((at_middle <= 0) == (at_low <= 0)) {
            low = middle;
            at_low = at_middle;
        } else {
            high = middle;
        }
    }
    return SQUEEZE_FITS;
}

enum squeeze_fit fit_squeezes(const struct hoop *hoop, struct squeezes measured,
                              struct hoop_stiffness *stiffness, const struct algebra *algebra,
                              struct arena *arena) {
    struct fit fit = {hoop, algebra, arena, measured, {0, 0}, *stiffness};
    enum squeeze_fit found = measured.lengthwise > 0 ? fit_throat(&fit) : fit_bending(&fit);
    if (found == SQUEEZE_FITS) *stiffness = fit.stiffness;
    return found;
}
