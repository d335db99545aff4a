/* Acts, routes, loops, lanes, tension, weave, string to cut. */
#include "unit/support.h"

#include "ground/units.h"
#include "pattern/rulebook.h"
#include "pattern/stages.h"

#include <math.h>

static void near(double value, double expected, double tolerance) {
    if (!(fabs(value - expected) < tolerance))
        fail_msg("%f is not within %f of %f", value, tolerance, expected);
}

/* A frame of as many mains a side as wanted and two crosses, and a mains leg on it. */
static const char *with_mains(char *store, size_t room, int mains, const char *options) {
    snprintf(store, room,
             "frame f { inside 200 mm wide, 330 mm long; outline ellipse\n"
             "  holes head M1..M%d C1; holes throat M1..M%d C2; tie-off 1H, 2H, 1T, 2T }\n"
             "pattern p for f { one piece, long side right; tension 100 N\n"
             "  mains from head, M1..M%d on each side%s\n"
             "  short tie %s\n  long C2, C1, tie 2H }",
             mains, mains, mains, options, mains % 2 == 0 ? "2H" : "2T");
    return store;
}

/* In turn: common practice is three strands on the first side, then never more than two ahead. */
static void test_pulls_in_turn(void **state) {
    (void)state;
    static const struct {
        int mains;
        const char *options, *pulls;
    } rows[] = {
        {6, ", pull 3 ahead then 2", "RM1 RM2 RM3 LM1 LM2 LM3 LM4 LM5 RM4 RM5 RM6 LM6"},
        {7, ", pull 3 ahead then 2", "RM1 RM2 RM3 LM1 LM2 LM3 LM4 LM5 RM4 RM5 RM6 RM7 LM6 LM7"},
        {4, "", "RM1 LM1 LM2 RM2 RM3 LM3 LM4 RM4"},
        {4, ", short first", "LM1 RM1 RM2 LM2 LM3 RM3 RM4 LM4"},
        {4, ", pull 2 ahead", "RM1 RM2 LM1 LM2 LM3 LM4 RM3 RM4"},
        {3, ", pull 9 ahead", "RM1 RM2 RM3 LM1 LM2 LM3"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[800], store[400];
        struct bench_top *top =
            compile_clean(with_mains(text, sizeof text, rows[i].mains, rows[i].options));
        const char *got = pulls(first_pattern(top), store, sizeof store);
        assert_int_equal(strncmp(got, rows[i].pulls, strlen(rows[i].pulls)), 0);
        assert_string_equal(got + strlen(rows[i].pulls), " C2 C1");
        put_away(top);
    }
}

static const char *moves_of(const struct pattern *pattern, enum end_name end, char *store,
                            size_t room) {
    store[0] = '\0';
    for (size_t i = 0; i < pattern->moves.count; i++) {
        const struct move *move = &pattern->moves.at[i];
        if (pattern->ends[move->end].name != end) continue;
        const char *word = move->kind == MOVE_THREAD || move->kind == MOVE_WEAVE ? "t"
                           : move->kind == MOVE_PULL                             ? "p"
                                                                                 : NULL;
        if (word == NULL) continue;
        size_t length = strlen(store);
        snprintf(store + length, room - length, "%s%s%s", length > 0 ? " " : "", word,
                 pattern->frame->strands[move->strand].id);
    }
    return store;
}

static void test_thread_ahead(void **state) {
    (void)state;
    char store[400];
    struct bench_top *top =
        compile_clean(SMALL_FRAME "pattern p for small { one piece; tension 25 lb\n"
                                  " mains from head, M1..M3 on each side\n short tie 2T\n"
                                  " long C4..C1, thread 2 ahead, tie 3H }");
    assert_string_equal(moves_of(first_pattern(top), END_LONG, store, sizeof store),
                        "tRM1 pRM1 tRM2 pRM2 tRM3 pRM3 tC4 tC3 tC2 pC4 tC1 pC3 pC2 pC1");
    put_away(top);
    top = compile_clean(SMALL_FRAME "pattern p for small { one piece; tension 25 lb\n"
                                    " mains from head, M1..M3 on each side, pull 3 ahead, thread 1 "
                                    "ahead\n short tie 2T\n"
                                    " long thread C4..C3, pull C4..C3, C2, C1, tie 3H }");
    /* each end threads its own next strand; strands threaded by name wait for their pull */
    assert_string_equal(moves_of(first_pattern(top), END_LONG, store, sizeof store),
                        "tRM1 tRM2 pRM1 tRM3 pRM2 pRM3 tC4 tC3 pC4 pC3 tC2 pC2 tC1 pC1");
    assert_string_equal(moves_of(first_pattern(top), END_SHORT, store, sizeof store),
                        "tLM1 tLM2 pLM1 tLM3 pLM2 pLM3");
    put_away(top);
}

static void route_is(const struct pattern *pattern, enum end_name name, const char *expected) {
    char store[400] = "";
    const struct end *end = &pattern->ends[pattern_end(pattern, name)];
    for (size_t i = 0; i < end->passes.count; i++) {
        size_t length = strlen(store);
        snprintf(store + length, sizeof store - length, "%s%s:%s>%s", i > 0 ? " " : "",
                 pattern->frame->strands[end->passes.at[i].strand].id,
                 pattern->frame->holes[end->passes.at[i].enter].id,
                 pattern->frame->holes[end->passes.at[i].leave].id);
    }
    assert_string_equal(store, expected);
}

static void test_entry_by_the_nearest_hole(void **state) {
    (void)state;
    struct bench_top *top = compile_clean(SMALL_FRAME SMALL_PATTERN);
    const struct pattern *pattern = first_pattern(top);
    route_is(pattern, END_LONG,
             "RM1:R1H>R1T RM2:R2T>R2H RM3:R3H>R3T C4:R4T>L4T C3:L5T>R5T C2:R5H>L5H C1:L4H>R4H");
    route_is(pattern, END_SHORT, "LM1:L1H>L1T LM2:L2T>L2H LM3:L3H>L3T");
    assert_string_equal(pattern->frame->holes[pattern->ends[1].tie.hole].id, "L2T");
    assert_string_equal(pattern->frame->strands[pattern->ends[1].tie.around].id, "LM2");
    put_away(top);
}

static void test_entry_from(void **state) {
    (void)state;
    struct bench_top *top = compile_text(
        SMALL_FRAME "pattern p for small { one piece; tension 25 lb\n"
                    " long M1 from throat, M2..M3\n short M1..M3 from head\n short tie 3H\n"
                    " long C1 from right, C2..C4, tie 3T }");
    const struct pattern *pattern = first_pattern(top);
    route_is(pattern, END_LONG,
             "RM1:R1T>R1H RM2:R2H>R2T RM3:R3T>R3H C1:R4H>L4H C2:L5H>R5H C3:R5T>L5T C4:L4T>R4T");
    put_away(top);
}

static const struct loop *loop_of(const struct pattern *pattern, const char *from, const char *to) {
    for (size_t i = 0; i < pattern->loops.count; i++) {
        const struct loop *loop = &pattern->loops.at[i];
        if (strcmp(pattern->frame->holes[loop->from].id, from) == 0 &&
            strcmp(pattern->frame->holes[loop->to].id, to) == 0)
            return loop;
    }
    fail_msg("no loop from %s to %s", from, to);
    return NULL;
}

static void test_loops(void **state) {
    (void)state;
    struct bench_top *top = compile_clean(SMALL_FRAME SMALL_PATTERN);
    const struct pattern *pattern = first_pattern(top);
    double step = pattern->frame->outline.half_arc / 10;
    /* one fold, six between strands of the long end and two of the short, two to the knots */
    assert_int_equal(pattern->loops.count, 11);
    const struct loop *fold = loop_of(pattern, "R1H", "L1H");
    assert_int_equal(fold->kind, LOOP_FOLD);
    near(fold->length, step, 1e-6);
    assert_int_equal(fold->pass_count, 0);
    assert_false(fold->clockwise);
    const struct loop *tie = loop_of(pattern, "R4H", "R3H");
    assert_int_equal(tie->kind, LOOP_TIE);
    near(tie->length, step, 1e-6);
    const struct loop *far = loop_of(pattern, "L3T", "L2T");
    assert_int_equal(far->kind, LOOP_TIE);
    put_away(top);
}

static void test_loop_passes_and_lies_over(void **state) {
    (void)state;
    struct bench_top *top = compile_text(
        SMALL_FRAME "pattern p for small { one piece; tension 25 lb\n"
                    " mains from head, M1..M2 on each side\n"
                    " long C1, C2..C3\n short M3 from throat, tie 2T\n long C4, M3, tie 2H }");
    const struct pattern *pattern = first_pattern(top);
    const struct loop *over = loop_of(pattern, "R2H", "R4H");
    assert_int_equal(over->pass_count, 1);
    assert_string_equal(pattern->frame->holes[over->passes[0]].id, "R3H");
    near(over->length, 2 * pattern->frame->outline.half_arc / 10, 1e-6);
    const struct loop *tie = loop_of(pattern, "R3H", "R2H");
    assert_int_equal(over->over, 1); /* the loop to the knot lies inside it */
    assert_int_equal(over->level, 1);
    assert_int_equal(tie->level, 0);
    assert_true(over->lane_matters && tie->lane_matters);
    put_away(top);
}

static void test_guides_fix_lanes(void **state) {
    (void)state;
    static const char *const words[] = {"front", "back"};
    for (int i = 0; i < 2; i++) {
        char text[900];
        snprintf(
            text, sizeof text,
            "frame g { sport squash; inside 186 mm wide, 325 mm long; outline ellipse\n"
            "  holes head M1..M3 C1 C2; holes throat M1..M3 C4 C3; tie-off 2H, 3H, 2T, 3T\n"
            "  guide left 4H %s }\n"
            "pattern p for g { one piece; tension 100 N; mains from head, M1..M3 on each side\n"
            "  short tie 2T; long C4, C2, C3, C1, tie 3H }",
            words[i]);
        struct bench_top *top = compile_clean(text);
        const struct pattern *pattern = first_pattern(top);
        enum lane guided = i == 0 ? LANE_FRONT : LANE_BACK, other = i == 0 ? LANE_BACK : LANE_FRONT;
        assert_int_equal(loop_of(pattern, "L5T", "L4H")->lane, guided);
        assert_int_equal(loop_of(pattern, "L4T", "L5H")->lane, other); /* it crosses that one */
        put_away(top);
    }
}

/* Over and under alternate along every strand, on a frame where everything crosses. */
static void test_weave_alternates(void **state) {
    (void)state;
    struct bench_top *top = compile_clean(SMALL_FRAME SMALL_PATTERN);
    const struct pattern *pattern = first_pattern(top);
    const struct frame *frame = pattern->frame;
    for (size_t i = 0; i < pattern->crossings.count; i++)
        for (size_t k = 0; k < pattern->crossings.count; k++) {
            const struct crossing *a = &pattern->crossings.at[i], *b = &pattern->crossings.at[k];
            bool beside = (a->main == b->main && a->cross == b->cross + 1) ||
                          (a->cross == b->cross && a->main == b->main + 1);
            if (beside) assert_int_equal(a->main_over, !b->main_over);
        }
    /* unsaid, the first weave goes over: C4 from the right, over right M3 */
    const struct move *weave = NULL;
    for (size_t i = 0; i < pattern->moves.count && weave == NULL; i++)
        if (pattern->moves.at[i].kind == MOVE_WEAVE) weave = &pattern->moves.at[i];
    assert_non_null(weave);
    assert_string_equal(frame->strands[weave->strand].id, "C4");
    assert_string_equal(frame->strands[weave->first_met].id, "RM3");
    assert_true(weave->first_over);
    put_away(top);
}

/* What a strand does first is its own: a main woven up through the crosses meets them from below.
 */
static void test_first_is_derived_for_each(void **state) {
    (void)state;
    static const char *const words[] = {"", " under first"};
    for (int i = 0; i < 2; i++) {
        char text[900];
        snprintf(
            text, sizeof text,
            SMALL_FRAME
            "pattern p for small { one piece; tension 25 lb; mains from head, M1..M2 on each side\n"
            " long C1%s, C2..C4\n long M3\n short M3 from throat, tie 2H\n long tie 2H }",
            words[i]);
        struct bench_top *top = compile_clean(text);
        const struct pattern *pattern = first_pattern(top);
        bool over[16] = {0}, woven[16] = {0};
        int met[16] = {0};
        for (size_t k = 0; k < pattern->moves.count; k++) {
            const struct move *move = &pattern->moves.at[k];
            if (move->kind == MOVE_THREAD)
                assert_true(pattern->frame->strands[move->strand].kind == MAIN);
            if (move->kind != MOVE_WEAVE) continue;
            woven[move->strand] = true;
            over[move->strand] = move->first_over;
            met[move->strand] = move->first_met;
        }
        const struct frame *frame = pattern->frame;
        int c1 = strand_of_id(frame, "C1"), c2 = strand_of_id(frame, "C2"),
            m3 = strand_of_id(frame, "RM3");
        assert_true(woven[c1] && woven[m3] && !woven[strand_of_id(frame, "RM1")]);
        assert_int_equal(over[c1], i == 0);
        assert_string_equal(frame->strands[met[c1]].id, "RM2");
        assert_string_equal(frame->strands[met[c2]].id, "LM2");
        assert_int_equal(over[c2], over[c1]); /* four mains between them, one row on: alike */
        assert_string_equal(frame->strands[met[m3]].id, "C4");
        /* C1 over M2, so M3 over C1, so under C2, over C3, under C4 */
        assert_int_equal(over[m3], i == 1);
        put_away(top);
    }
}

static void test_tension(void **state) {
    (void)state;
    struct bench_top *top = compile_text(
        SMALL_FRAME
        "pattern p for small { one piece; tension 100 N; mains from head, M1..M3 on each side\n"
        " tension crosses 110 N, right M1 +5 N, M2..M3 12 kg, mains +1 %\n"
        " tension last pulls +10 %, outer mains -2 N\n"
        " short tie 2T; long C4..C1, tie 3H }");
    const struct pattern *pattern = first_pattern(top);
    static const struct {
        const char *id;
        double base, pull;
    } rows[] = {
        {"RM1", 100, 106},
        {"LM1", 100, 101},
        {"LM2", 117.6798, 117.6798 * 1.01},
        {"RM3", 117.6798, 117.6798 * 1.01 - 2},
        {"LM3", 117.6798, 117.6798 * 1.11 - 2}, /* the short end's last pull */
        {"C4", 110, 110},
        {"C1", 110, 121},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct pull_tension *tension =
            &pattern->tensions[strand_of_id(pattern->frame, rows[i].id)];
        near(tension->base, rows[i].base, 1e-9);
        near(tension->pull, rows[i].pull, 1e-9);
    }
    put_away(top);
}

static void test_tension_assumed(void **state) {
    (void)state;
    struct bench_top *top = compile_clean(
        SMALL_FRAME "pattern p for small { one piece; mains from head, M1..M3 on each side\n"
                    " short tie 2T; long C4..C1, tie 3H }");
    near(first_pattern(top)->tensions[0].pull, 24 * NEWTON_PER_LB, 1e-9);
    put_away(top);
}

/* What a tensioner is set to, by the nearest step: halves up, and no limit is passed that the pull
 * asked for keeps. The frame's range is 20..28 lb. */
static void test_set_pull(void **state) {
    (void)state;
    static const struct {
        const char *step, *tension, *id;
        double set;
        enum unit unit;
    } rows[] = {
        {"", "27.9 lb", "C4", 28, UNIT_LB},
        {"", "25.25 lb", "C4", 25.5, UNIT_LB},
        {"", "28 lb, last pulls +10 %", "C1", 30.5, UNIT_LB}, /* 31 is over a tenth more */
        {"", "28 lb, last pulls +10 %", "C4", 28, UNIT_LB},
        {"", "11.35 kg", "C4", 11.4, UNIT_KG},
        {"", "11.45 kg", "C4", 11.5, UNIT_KG},
        {"", "11.55 kg", "C4", 11.6, UNIT_KG},
        {"", "12.75 kg", "C4", 12.7, UNIT_KG}, /* what conversion is spared; 12.8 is beyond */
        {"step 0.1 kg;", "28 lb", "C4", 12.7, UNIT_KG},
        {"step 1 kg;", "20.2 lb", "C4", 10, UNIT_KG}, /* 9 kg are less than 20 lb */
        {"step 0.5 kg;", "20 lb", "C4", 9.5, UNIT_KG},
        {"step 5 lb;", "20.2 lb", "C4", 20, UNIT_LB},
        {"step 5 lb;", "27 lb", "C4", 25, UNIT_LB},
        {"step 5 lb;", "28 lb, last pulls +10 %", "C1", 30, UNIT_LB},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[2000];
        snprintf(text, sizeof text,
                 SMALL_FRAME "bench b { clamps 2 fixed, 1 starting; %s }\n"
                             "pattern p for small { one piece; bench b; tension %s\n"
                             " mains from head, M1..M3 on each side; short tie 2T\n"
                             " long C4..C1, tie 3H }\n",
                 rows[i].step, rows[i].tension);
        struct bench_top *top = compile_clean(text);
        const struct pattern *pattern = first_pattern(top);
        int strand = strand_of_id(pattern->frame, rows[i].id);
        near(set_pull(pattern, strand), rows[i].set * unit_factor(rows[i].unit), 1e-6);
        assert_int_equal(pull_unit(pattern, strand), rows[i].unit);
        put_away(top);
    }
}

/* Every term of the string to cut, reckoned here from the model. */
static void test_cut(void **state) {
    (void)state;
    struct bench_top *top =
        compile_clean("string s { gauge 1.2 mm; stretch 10 % at 200 N }\n" SMALL_FRAME
                      "pattern p for small { one piece; string s; tension 100 N\n"
                      " mains from head, M1..M3 on each side; short tie 2T\n"
                      " long C4..C1, tie 3H }");
    const struct pattern *pattern = first_pattern(top);
    for (int e = 0; e < 2; e++) {
        const struct cut *cut = &pattern->cuts[e];
        const struct end *end = &pattern->ends[e];
        double strands = 0, loops = 0;
        for (size_t i = 0; i < end->passes.count; i++)
            strands += pattern->frame->strands[end->passes.at[i].strand].length;
        for (size_t i = 0; i < pattern->loops.count; i++) {
            const struct loop *loop = &pattern->loops.at[i];
            if (loop->kind == LOOP_FOLD) loops += loop->outside / 2;
            if (loop->kind != LOOP_FOLD && loop->end == e) loops += loop->outside;
        }
        near(cut->strands, strands, 1e-9);
        near(cut->loops, loops, 1e-9);
        near(cut->walls, 22.0 * (double)end->passes.count, 1e-9);
        near(cut->reach, 450, 1e-9);
        double taut = cut->strands + cut->walls + cut->crimp;
        near(cut->stretch, taut - taut / 1.05, 1e-9); /* half the pull, half the stretch */
        near(cut->cut, taut + cut->loops + cut->tail + cut->reach - cut->stretch, 1e-9);
    }
    put_away(top);
}

/* What has a density is known to the rules of play too. */
static void test_materials(void **state) {
    (void)state;
    static const struct {
        const char *material;
        enum substance substance;
        double density;
    } rows[] = {
        {"nylon", SUBSTANCE_PLASTIC, 1.14}, {"polyamide", SUBSTANCE_PLASTIC, 1.14},
        {"hmpe", SUBSTANCE_PLASTIC, 0.97},  {"polyester", SUBSTANCE_PLASTIC, 1.39},
        {"silk", SUBSTANCE_FIBRE, 1.34},    {"aramid", SUBSTANCE_PLASTIC, 1.44},
        {"natural-gut", SUBSTANCE_GUT, 0},  {"gut", SUBSTANCE_GUT, 0},
        {"straw", SUBSTANCE_UNKNOWN, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct string string = {.material = rows[i].material};
        assert_int_equal(substance_of(rows[i].material), rows[i].substance);
        near(density_of(&string), rows[i].density, 1e-9);
    }
}

/* As written, by the material and gauge, or as nylon: and which of them it was. */
static void test_stiffness(void **state) {
    (void)state;
    static const struct {
        struct string string;
        double gauge, newton;
        enum stiffness_from from;
    } rows[] = {
        {{.stiffness = 4000, .stretch = 4, .stretch_at = 200}, 1.2, 4000, STIFFNESS_WRITTEN},
        {{.stretch = 4, .stretch_at = 200, .material = "nylon"}, 1.2, 5000, STIFFNESS_MATERIAL},
        {{.stretch_at = 200, .material = "nylon"}, 1.2, 5000, STIFFNESS_MATERIAL},
        {{.material = "polyester"}, 1.2, 7000, STIFFNESS_MATERIAL},
        {{.material = "natural-gut"}, 1.2, 4000, STIFFNESS_MATERIAL},
        {{.material = "straw"}, 1.2, 5000, STIFFNESS_NYLON},
        {{.gauge = 9}, 0.6, 1250, STIFFNESS_NYLON}, /* of the gauge that is asked for */
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct stiffness stiffness = stiffness_of(&rows[i].string, rows[i].gauge);
        near(stiffness.newton, rows[i].newton, 1e-9);
        assert_int_equal(stiffness.from, rows[i].from);
    }
    near(stiffness_of(NULL, 1.2).newton, 5000, 1e-9);
    assert_int_equal(stiffness_of(NULL, 1.2).from, STIFFNESS_NYLON);
}

/* What the lines say of forces, as the model has it. */
static void test_forces(void **state) {
    (void)state;
    struct bench_top *top = compile_clean(
        "string s { stiffness 500 kg }\n"
        "bench b { mount inside 12, outside 1.5, 10.5, 100 kg per mm; draw-back 0.05 cm }\n"
        "frame f { squeeze 100 lb per mm wide, 400 N per mm long\n"
        "  sport squash; inside 186 mm wide, 325 mm long; outline ellipse; wall 11 mm\n"
        "  holes head M1..M3 C1 C2\n"
        "  holes throat M1..M3 C4 C3\n"
        "  tie-off 2H, 3H, 2T, 3T; tension 20..28 lb; lanes 2 }\n"
        "pattern p for f { one piece; string s; bench b; tension 25 lb, last pulls +1 lb\n"
        "  mains from head, M1..M3 on each side; short tie 2T; long C4..C1, tie 3H }\n");
    const struct pattern *pattern = first_pattern(top);
    const struct bench *bench = pattern->bench;
    near(pattern->frame->squeeze_wide, 444.82216152605, 1e-9);
    near(pattern->frame->squeeze_long, 400, 1e-9);
    near(pattern->mains_string->stiffness, 4903.325, 1e-9);
    assert_true(bench->draw_back_given);
    near(bench->draw_back, 0.5, 1e-9);
    assert_string_equal(bench->mount, "inside 12, outside 1.5, 10.5");
    const struct mount *bearing = &bench->bearing;
    assert_int_equal(bearing->kind, MOUNT_OWN);
    assert_int_equal(bearing->point_count, 3);
    assert_true(bearing->points[0].inside && !bearing->points[1].inside);
    assert_false(bearing->points[2].inside);
    near(bearing->points[2].clock, 10.5, 1e-9);
    near(bearing->stiffness, 980.665, 1e-9);
    put_away(top);
}

static void test_mounts(void **state) {
    (void)state;
    static const struct {
        const char *line, *words;
        enum mount_kind kind;
        int points, inside;
        double stiffness;
    } rows[] = {
        {"reach 450 mm", NULL, MOUNT_UNSAID, 0, 0, 0},
        {"mount six-point", "six-point", MOUNT_SIX_POINT, 6, 2, 0},
        {"mount two-point, 900 N per mm", "two-point", MOUNT_TWO_POINT, 2, 2, 900},
        {"mount holder", "holder", MOUNT_UNKNOWN, 0, 0, 0},
        {"mount outside 3", "outside 3", MOUNT_OWN, 1, 0, 0},
        {"mount inside 6, 12, inside 1.25", "inside 6, 12, 1.25", MOUNT_OWN, 3, 3, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[1000];
        snprintf(text, sizeof text,
                 SMALL_FRAME "bench b { %s }\n"
                             "pattern p for small { one piece; bench b; tension 25 lb\n"
                             " mains from head, M1..M3 on each side; short tie 2T\n"
                             " long C4..C1, tie 3H }\n",
                 rows[i].line);
        struct bench_top *top = compile_clean(text);
        const struct bench *bench = first_pattern(top)->bench;
        assert_int_equal(bench->bearing.kind, rows[i].kind);
        assert_int_equal(bench->bearing.point_count, rows[i].points);
        assert_int_equal(bench->bearing.points != NULL, rows[i].points > 0);
        assert_int_equal(span_given(bench->bearing.span), rows[i].kind != MOUNT_UNSAID);
        assert_int_equal(found(top, RULE_mount_unknown), rows[i].kind == MOUNT_UNKNOWN);
        if (rows[i].words != NULL) assert_string_equal(bench->mount, rows[i].words);
        near(bench->bearing.stiffness, rows[i].stiffness, 1e-9);
        int inside = 0;
        for (int k = 0; k < bench->bearing.point_count; k++)
            inside += bench->bearing.points[k].inside;
        assert_int_equal(inside, rows[i].inside);
        put_away(top);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_pulls_in_turn),
        cmocka_unit_test(test_thread_ahead),
        cmocka_unit_test(test_entry_by_the_nearest_hole),
        cmocka_unit_test(test_entry_from),
        cmocka_unit_test(test_loops),
        cmocka_unit_test(test_loop_passes_and_lies_over),
        cmocka_unit_test(test_guides_fix_lanes),
        cmocka_unit_test(test_weave_alternates),
        cmocka_unit_test(test_first_is_derived_for_each),
        cmocka_unit_test(test_tension),
        cmocka_unit_test(test_tension_assumed),
        cmocka_unit_test(test_set_pull),
        cmocka_unit_test(test_cut),
        cmocka_unit_test(test_stiffness),
        cmocka_unit_test(test_forces),
        cmocka_unit_test(test_mounts),
        cmocka_unit_test(test_materials),
    };
    return cmocka_run_group_tests_name("pattern", tests, NULL, NULL);
}
