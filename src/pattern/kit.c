/* What is known of strings by their material, and of mounts by their name. */
#include "pattern/kit.h"

#include <string.h>

/* Densities of solid fibres in g/cm3 (Morton and Hearle, Physical Properties of Textile Fibres,
 * tables 5.1 and 5.2; Handbook of Properties of Textile and Technical Fibres, table 1.1); a string
 * with air in it is lighter. 0: not known.
 * Stiffness beside that of nylon of the same gauge: from memory of strings as they are, which are
 * far softer than their fibres, and nearer to nylon than any of them is said to be. */
static const struct material {
    const char *name;
    double density, stiffness;
} materials[] = {{"nylon", 1.14, 1},      {"polyamide", 1.14, 1}, {"polyester", 1.39, 1.4},
                 {"silk", 1.34, 1.2},     {"hmpe", 0.97, 2},      {"aramid", 1.44, 2.5},
                 {"natural-gut", 0, 0.8}, {"gut", 0, 0.8}};

static const struct material *material_of(const struct string *string) {
    if (string == NULL || string->material == NULL) return NULL;
    for (size_t i = 0; i < sizeof materials / sizeof *materials; i++)
        if (strcmp(materials[i].name, string->material) == 0) return &materials[i];
    return NULL;
}

double density_of(const struct string *string) {
    if (string != NULL && string->density > 0) return string->density;
    const struct material *material = material_of(string);
    return material != NULL ? material->density : 0;
}

/* N of nylon 1.2 mm thick: fibres have 3.0 to 4.4 N/tex (Morton and Hearle, table 13.2), which is
 * 3.9 to 5.7 kN for solid nylon of 1.14 g/cm3. */
static const double NYLON_STIFFNESS = 5000, NYLON_GAUGE = 1.2;

struct stiffness stiffness_of(const struct string *string, double gauge) {
    if (string != NULL && string->stiffness > 0)
        return (struct stiffness){string->stiffness, STIFFNESS_WRITTEN};
    double thick = gauge / NYLON_GAUGE, nylon = NYLON_STIFFNESS * thick * thick;
    const struct material *material = material_of(string);
    if (material == NULL) return (struct stiffness){nylon, STIFFNESS_NYLON};
    return (struct stiffness){material->stiffness * nylon, STIFFNESS_MATERIAL};
}

/* ---- mounts ---- */

static const struct mount_point six_points[] = {{12, true}, {6, true},  {2, false},
                                                {4, false}, {8, false}, {10, false}};
static const struct mount_point two_points[] = {{12, true}, {6, true}};

#define POINTS(points) (points), (int)(sizeof(points) / sizeof *(points))

static const struct {
    const char *name;
    const struct mount_point *points;
    int count;
} mounts[MOUNT_KINDS] = {[MOUNT_SIX_POINT] = {"six-point", POINTS(six_points)},
                         [MOUNT_TWO_POINT] = {"two-point", POINTS(two_points)}};

const char *mount_word(enum mount_kind kind) { return mounts[kind].name; }

struct mount mount_of(enum mount_kind kind) {
    return (struct mount){
        .kind = kind, .points = mounts[kind].points, .point_count = mounts[kind].count};
}
