/* Conversion of units: one row a unit. */
#include "ground/units.h"

#include "ground/output.h"

static const struct {
    enum dimension dimension;
    double factor;
} rows[UNITS] = {
    [UNIT_NONE] = {DIMENSION_NUMBER, 1},
    [UNIT_MM] = {DIMENSION_LENGTH, 1},
    [UNIT_CM] = {DIMENSION_LENGTH, 10},
    [UNIT_M] = {DIMENSION_LENGTH, 1000},
    [UNIT_IN] = {DIMENSION_LENGTH, MM_PER_INCH},
    [UNIT_LB] = {DIMENSION_FORCE, NEWTON_PER_LB},
    [UNIT_KG] = {DIMENSION_FORCE, NEWTON_PER_KG},
    [UNIT_N] = {DIMENSION_FORCE, 1},
    [UNIT_PERCENT] = {DIMENSION_PERCENT, 1},
    [UNIT_G_CM3] = {DIMENSION_DENSITY, 1},
    [UNIT_S] = {DIMENSION_TIME, 1},
    [UNIT_N_MM] = {DIMENSION_STIFFNESS, 1},
    [UNIT_KG_MM] = {DIMENSION_STIFFNESS, NEWTON_PER_KG},
    [UNIT_LB_MM] = {DIMENSION_STIFFNESS, NEWTON_PER_LB},
};

enum dimension unit_dimension(enum unit unit) { return rows[unit].dimension; }

double unit_factor(enum unit unit) { return rows[unit].factor; }

const char *dimension_units(enum dimension dimension) {
    static const char *const words[] = {"no unit",
                                        "mm, cm, m or in",
                                        "lb, kg or N",
                                        "%",
                                        "g/cm3",
                                        "s",
                                        "N per mm, kg per mm or lb per mm"};
    return words[dimension];
}

const char *force_words(struct arena *arena, double newton, enum unit unit, int decimals) {
    return format(arena, "%s %s", format_decimal(arena, newton / unit_factor(unit), decimals),
                  unit_word(unit));
}
