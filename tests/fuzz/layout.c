/* Any text to the one layout, and to its legs written out. Claims: what is laid out stays as it is
 * when it is laid out again; it has as many patterns, as many of them are ready, and their step
 * lists are the same; legs written out string the same racket. */
#include "fuzz/target.h"

#include <stdlib.h>
#include <string.h>

static struct selvage_text keep(struct selvage_text text) {
    char *bytes = malloc(text.length + 1);
    CLAIM(bytes != NULL);
    memcpy(bytes, text.bytes, text.length);
    bytes[text.length] = '\0';
    return (struct selvage_text){bytes, text.length};
}

static void drop(struct selvage_text text) { free((char *)(uintptr_t)text.bytes); }

/* The text in the one layout, to be dropped; false where it cannot be read. */
static bool lay_out(const struct selvage_request *request, struct selvage_text *laid) {
    struct selvage_request layout = *request;
    layout.layout_only = true;
    selvage_compilation *compilation = selvage_compile(&layout);
    CLAIM(compilation != NULL);
    enum selvage_result result = selvage_format(compilation, laid);
    CLAIM(result == SELVAGE_DONE || result == SELVAGE_NOT_READY);
    if (result == SELVAGE_DONE) *laid = keep(*laid);
    selvage_free(compilation);
    return result == SELVAGE_DONE;
}

static bool same(struct selvage_text one, struct selvage_text two) {
    return one.length == two.length && memcmp(one.bytes, two.bytes, one.length) == 0;
}

/* Whether both texts string the same rackets in the same way. `given` is compiled already. */
static void judge_same_work(selvage_compilation *given, const struct selvage_request *request,
                            struct selvage_text other_text) {
    struct selvage_request other_request = *request;
    other_request.text = other_text;
    selvage_compilation *other = selvage_compile(&other_request);
    CLAIM(other != NULL);
    CLAIM(selvage_patterns(other) == selvage_patterns(given));
    for (size_t i = 0; i < selvage_patterns(given); i++) {
        CLAIM(strcmp(selvage_pattern_name(given, i), selvage_pattern_name(other, i)) == 0);
        CLAIM(selvage_pattern_ready(given, i) == selvage_pattern_ready(other, i));
        if (!selvage_pattern_ready(given, i)) continue;
        struct selvage_text steps, again;
        CLAIM(selvage_emit(given, i, SELVAGE_STEPS_CSV, NULL, &steps) == SELVAGE_DONE);
        CLAIM(selvage_emit(other, i, SELVAGE_STEPS_CSV, NULL, &again) == SELVAGE_DONE);
        CLAIM(same(steps, again));
    }
    selvage_free(other);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length) {
    struct selvage_text whole = {(const char *)bytes, length};
    struct selvage_request request = {
        .name = "text.slv", .text = whole, .read = target_read, .context = &whole};
    struct selvage_text laid, twice, legs;
    bool reads = lay_out(&request, &laid);
    if (!reads) return 0;
    struct selvage_request next = request;
    next.text = laid;
    CLAIM(lay_out(&next, &twice));
    CLAIM(same(laid, twice));
    selvage_compilation *compilation = selvage_compile(&request);
    CLAIM(compilation != NULL);
    judge_same_work(compilation, &request, laid);
    if (selvage_expand(compilation, &legs) == SELVAGE_DONE) {
        legs = keep(legs);
        judge_same_work(compilation, &request, legs);
        drop(legs);
    }
    selvage_free(compilation);
    drop(laid);
    drop(twice);
    return 0;
}
