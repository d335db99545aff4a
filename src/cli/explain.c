/* The verb explain: pages by code, and the list of codes. */
#include "cli/verbs.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

/* Prints what there is of a code; a blank line stands between two pages. */
static enum exit_status explain(const char *code, bool *printed) {
    struct selvage_text page;
    if (!selvage_explain(code, &page)) {
        fprintf(stderr,
                "selvage: there is no code %s; there are:\n%.*sselvage explain lists all of them\n",
                code, (int)page.length, page.bytes);
        return EXIT_USAGE;
    }
    if (*printed) putchar('\n');
    *printed = true;
    fwrite(page.bytes, 1, page.length, stdout);
    return EXIT_DONE;
}

static void list_codes(void) {
    struct selvage_text list;
    if (selvage_explain(NULL, &list)) fwrite(list.bytes, 1, list.length, stdout);
}

enum exit_status run_explain(const struct arguments *arguments) {
    enum exit_status status = EXIT_DONE;
    bool printed = false;
    if (arguments->file_count == 0) list_codes();
    for (int i = 0; i < arguments->file_count; i++) {
        enum exit_status one = explain(arguments->files[i], &printed);
        if (one > status) status = one;
    }
    if (fflush(stdout) == 0 && !ferror(stdout)) return status;
    fprintf(stderr, "selvage: standard output: %s\n", strerror(errno));
    return EXIT_FILES;
}
