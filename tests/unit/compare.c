/* Two patterns side by side, by the public functions: what is one frame, what is less, what may
 * fail. */
#include "unit/support.h"

#include "pattern/figures.h"

#include <stdlib.h>

static selvage_compilation *compiled(const char *name, const char *text) {
    struct selvage_request request = {.name = name, .text = {text, strlen(text)}};
    return selvage_compile(&request);
}

static enum selvage_result compared(const char *one, const char *other, char *store, size_t room) {
    selvage_compilation *a = compiled("one", one), *b = compiled("other", other);
    struct selvage_text text = {"", 0};
    enum selvage_result result = selvage_compare(a, 0, b, 0, SELVAGE_COMPARE_JSON, &text);
    snprintf(store, room, "%s", text.bytes);
    selvage_free(a);
    selvage_free(b);
    return result;
}

static void test_one_frame(void **state) {
    (void)state;
#define FRAME(name, inside, wall, head, throat)                                                    \
    "frame " name " { " inside "; outline ellipse; wall " wall "\n"                                \
    "  holes head " head "; holes throat " throat "; tie-off 2H, 3H, 2T, 3T }\n"
#define STRUNG(name)                                                                               \
    "pattern p for " name " { one piece; tension 25 lb; mains from head, M1..M3 on each side\n"    \
    "  short tie 2T\n  long C4..C1, tie 3H }\n"
    static const char ours[] = FRAME("f", "inside 186 mm wide, 325 mm long", "11 mm",
                                     "M1..M3 C1 C2", "M1..M3 C4 C3") STRUNG("f");
    static const struct {
        const char *text, *words;
    } rows[] = {
        {FRAME("g", "inside 186 mm wide, 325 mm long", "11 mm", "M1..M3 C1 C2", "M1..M3 C4 C3")
             STRUNG("g"),
         "one is for the frame f, the other for g"},
        {FRAME("f", "inside 186 mm wide, 325 mm long", "11 mm", "M1..M3 C1 C2",
               "M1..M3 C5 C4 C3") "pattern p for f { one piece; tension 25 lb; mains from head, "
                                  "M1..M3 on each side\n"
                                  "  short tie 2T\n  long C5..C1, tie 3H }\n",
         "both frames are called f, but one is 6 x 4 and the other 6 x 5"},
        {FRAME("f", "inside 186 mm wide, 325 mm long", "11 mm", "M1..M3 C1 - C2", "M1..M3 C4 C3")
             STRUNG("f"),
         "both frames are called f, but one has 20 holes and the other 22"},
        {"frame f { inside 186 mm wide, 325 mm long; outline ellipse; wall 11 mm\n"
         "  holes head M1..M2 C1 M3 C2; holes throat M1..M3 C4 C3; tie-off 2H, 2T, 3T }\n"
         "pattern p for f { one piece; tension 25 lb; mains from head, M1..M3 on each side\n"
         "  short tie 2T\n  long C4..C1, tie 2H }\n",
         "both frames are called f, but right 3H is not the same hole in both"},
        {FRAME("f", "inside 187 mm wide, 325 mm long", "11 mm", "M1..M3 C1 C2", "M1..M3 C4 C3")
             STRUNG("f"),
         " does not lie in the same place"},
        {FRAME("f", "inside 186 mm wide, 325 mm long", "12 mm", "M1..M3 C1 C2", "M1..M3 C4 C3")
             STRUNG("f"),
         "both frames are called f, but their walls are not the same"},
    };
    char store[4000];
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        assert_int_equal(compared(ours, rows[i].text, store, sizeof store), SELVAGE_OTHER_FRAME);
        if (strstr(store, rows[i].words) == NULL) fail_msg("%s\nnot %s", store, rows[i].words);
    }
    assert_int_equal(compared(ours, ours, store, sizeof store), SELVAGE_DONE);
    assert_non_null(strstr(store, "\"file\":\"one\""));
    assert_null(strstr(store, "\"less\":\"a\""));
    assert_null(strstr(store, "\"less\":\"b\""));
}

static void test_not_ready(void **state) {
    (void)state;
    char store[200];
    assert_int_equal(compared(SMALL_FRAME SMALL_PATTERN,
                              SMALL_FRAME "pattern broken for small { one piece; short tie 2T }\n",
                              store, sizeof store),
                     SELVAGE_NOT_READY);
    assert_int_equal(compared(SMALL_FRAME "pattern broken for small { one piece; short tie 2T }\n",
                              SMALL_FRAME SMALL_PATTERN, store, sizeof store),
                     SELVAGE_NOT_READY);
}

/* Two patterns by name, where a third has errors. */
static void test_two_of_three(void **state) {
    (void)state;
    static const char text[] =
        SMALL_FRAME "pattern broken for small { one piece; short tie 2T }\n" SMALL_PATTERN
                    "pattern late for small { two pieces; tension 25 lb, last pulls +1 lb\n"
                    "  mains from head, M1..M3 on each side, pull 2 ahead\n"
                    "  left tie 2T\n  right tie 2T\n  cross start right 3H, C1..C4, tie 3T }\n";
    struct selvage_request request = {
        .name = "test", .text = {text, strlen(text)}, .pattern = "late", .second = "try"};
    selvage_compilation *c = selvage_compile(&request);
    struct selvage_text out;
    assert_int_equal(selvage_errors(c), 0);
    assert_false(selvage_pattern_ready(c, 0));
    for (int form = SELVAGE_COMPARE_TEXT; form <= SELVAGE_COMPARE_JSON; form++) {
        assert_int_equal(selvage_compare(c, 2, c, 1, (enum selvage_comparison)form, &out),
                         SELVAGE_DONE);
        assert_int_equal(strlen(out.bytes), out.length);
    }
    assert_non_null(strstr(out.bytes, "{\"row\":\"knots\",\"a\":4,\"b\":2,\"less\":\"b\"}"));
    assert_null(strstr(out.bytes, "\"file\""));
    selvage_free(c);
}

/* String drawn through, by hand: every cross meets six mains, and has the later crosses, their
 * walls and loops, the knot's loop, the tail and the reach behind it. */
static void test_drawn(void **state) {
    (void)state;
    struct bench_top *top = compile_clean(SMALL_FRAME SMALL_PATTERN);
    const struct pattern *pattern = first_pattern(top);
    const struct frame *frame = pattern->frame;
    static const int holes[] = {0, 4, 3, 2, 1}; /* C4 to C1 in the order they are strung */
    double beyond = 80 + 450, drawn = 0;
    for (size_t i = 0; i < pattern->loops.count; i++)
        if (pattern->loops.at[i].kind == LOOP_TIE && pattern->loops.at[i].end == 0)
            beyond += pattern->loops.at[i].length;
    for (int i = 4; i >= 1; i--) {
        char id[8];
        snprintf(id, sizeof id, "C%d", holes[i]);
        drawn += 6 * beyond;
        int strand = strand_of_id(frame, id);
        beyond += frame->strands[strand].length + 2 * 11;
        for (size_t k = 0; k < pattern->loops.count; k++) {
            const struct loop *loop = &pattern->loops.at[k];
            if (loop->kind == LOOP_BETWEEN && loop->end == 0 &&
                pattern->ends[0].passes.at[loop->pass].strand == strand)
                beyond += loop->length;
        }
    }
    struct figures figures = figures_of(pattern, top->c.arena);
    assert_int_equal(figures.crosses_woven, 4);
    assert_int_equal(figures.weave_most, 6);
    if (figures.drawn < drawn - 0.01 || figures.drawn > drawn + 0.01)
        fail_msg("%f is not %f", figures.drawn, drawn);
    put_away(top);
}

static void test_order_of_crosses(void **state) {
    (void)state;
    static const struct {
        const char *line, *legs;
        enum cross_order order;
        bool but_skipped;
    } rows[] = {
        {"", "long C4..C1, tie 3H", CROSSES_FROM_THROAT, false},
        {"crosses from throat, skip C4;", "long C4..C1, tie 3H", CROSSES_FROM_THROAT, false},
        {"crosses from throat, skip C4;", "long C3..C1, C4, tie 3T", CROSSES_FROM_THROAT, true},
        {"", "long C3..C1, C4, tie 3T", CROSSES_MIXED, false},
        {"", "long C1..C4, tie 3T", CROSSES_FROM_HEAD, false},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[1500];
        snprintf(text, sizeof text,
                 SMALL_FRAME "pattern p for small { one piece; tension 25 lb; %s\n"
                             "  mains from head, M1..M3 on each side, pull 2 ahead\n"
                             "  short tie 2T\n  %s }\n",
                 rows[i].line, rows[i].legs);
        struct bench_top *top = compile_text(text);
        assert_true(first_pattern(top)->planned);
        struct figures figures = figures_of(first_pattern(top), top->c.arena);
        assert_int_equal(figures.order, rows[i].order);
        assert_int_equal(figures.but_skipped, rows[i].but_skipped);
        put_away(top);
    }
}

/* What the frame feels: left out where one of both cannot be felt, and said of which; of a pattern
 * beside itself there is no difference. */
static void test_felt(void **state) {
    (void)state;
    static const char slack[] = "frame small { inside 186 mm wide, 325 mm long; outline ellipse\n"
                                "  wall 11 mm; holes head M1..M3 C1 C2; holes throat M1..M3 C4 C3\n"
                                "  tie-off 2H, 3H, 2T, 3T }\n"
                                "pattern try for small { one piece, long side right\n"
                                "  mains from head, M1..M3 on each side, pull 2 ahead\n"
                                "  short tie 2T; long C4..C1, tie 3H }\n";
    char store[20000];
    assert_int_equal(compared(SMALL_FRAME SMALL_PATTERN, slack, store, sizeof store), SELVAGE_DONE);
    assert_non_null(strstr(store,
                           "\"felt\":{\"left_out\":\"what the frame feels is left out; B: no "
                           "tension is known"));
    assert_int_equal(compared(slack, SMALL_FRAME SMALL_PATTERN, store, sizeof store), SELVAGE_DONE);
    assert_non_null(strstr(store, "left out; A: no tension"));
    assert_int_equal(
        compared(SMALL_FRAME SMALL_PATTERN, SMALL_FRAME SMALL_PATTERN, store, sizeof store),
        SELVAGE_DONE);
    assert_non_null(strstr(store, "\"felt\":{\"sets\":144"));
    assert_non_null(strstr(store, "\"a\":[],\"b\":[]}"));
    assert_null(strstr(store, "\"clear\":true"));
    assert_non_null(strstr(store, "\"clear\":false,\"less\":\"same\"}"));
}

/* Memory that gives out after so many requests. */
struct scarce {
    long left;
};

static void *get_scarce(void *context, size_t size) {
    struct scarce *scarce = context;
    return scarce->left-- > 0 ? malloc(size) : NULL;
}

static void put_scarce(void *context, void *memory) {
    (void)context;
    free(memory);
}

static selvage_compilation *compile_scarce(struct scarce *scarce) {
    static const char text[] = SMALL_FRAME SMALL_PATTERN;
    scarce->left = 1000000;
    struct selvage_request request = {.name = "test",
                                      .text = {text, strlen(text)},
                                      .get_memory = get_scarce,
                                      .put_memory = put_scarce,
                                      .memory_context = scarce};
    return selvage_compile(&request);
}

/* The memory of the first may give out at any request, that of the second is not asked; with more
 * of it both are compared as ever. */
static void test_scarce_memory(void **state) {
    (void)state;
    int failed = 0;
    for (bool enough = false; !enough; failed++) {
        struct scarce memory[2];
        selvage_compilation *a = compile_scarce(&memory[0]), *b = compile_scarce(&memory[1]);
        struct selvage_text text = {"", 0};
        memory[0].left = failed;
        memory[1].left = 0;
        enum selvage_result result = selvage_compare(a, 0, b, 0, SELVAGE_COMPARE_TEXT, &text);
        enough = result == SELVAGE_DONE;
        if (!enough) assert_int_equal(result, SELVAGE_NO_MEMORY);
        memory[0].left = 1000000;
        assert_int_equal(selvage_compare(a, 0, b, 0, SELVAGE_COMPARE_TEXT, &text), SELVAGE_DONE);
        assert_non_null(strstr(text.bytes, "What the frame feels\n"));
        selvage_free(a);
        selvage_free(b);
    }
    assert_true(failed > 1);
}

/* What is written of a pattern afterwards is what was written before. */
static void test_nothing_is_kept(void **state) {
    (void)state;
    selvage_compilation *c = compiled("test", SMALL_FRAME SMALL_PATTERN);
    struct selvage_text text;
    assert_int_equal(selvage_emit(c, 0, SELVAGE_STEPS_TEXT, NULL, &text), SELVAGE_DONE);
    char *before = malloc(text.length + 1);
    memcpy(before, text.bytes, text.length + 1);
    assert_int_equal(selvage_compare(c, 0, c, 0, SELVAGE_COMPARE_TEXT, &text), SELVAGE_DONE);
    assert_int_equal(selvage_emit(c, 0, SELVAGE_STEPS_TEXT, NULL, &text), SELVAGE_DONE);
    assert_string_equal(text.bytes, before);
    free(before);
    selvage_free(c);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_one_frame),        cmocka_unit_test(test_not_ready),
        cmocka_unit_test(test_two_of_three),     cmocka_unit_test(test_drawn),
        cmocka_unit_test(test_order_of_crosses), cmocka_unit_test(test_felt),
        cmocka_unit_test(test_scarce_memory),    cmocka_unit_test(test_nothing_is_kept),
    };
    return cmocka_run_group_tests_name("compare", tests, NULL, NULL);
}
