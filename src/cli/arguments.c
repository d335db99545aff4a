/* Options by getopt_long. */
#include "cli/arguments.h"

#include <errno.h>
#include <getopt.h>
#include <stdio.h>
#include <string.h>

static const char usage[] =
    "usage: selvage VERB [OPTION...] FILE...\n"
    "\n"
    "  check  FILE...         what is wrong with these patterns\n"
    "  steps  FILE            the step list: --format text|markdown|csv\n"
    "  draw   FILE            the frame diagram, SVG\n"
    "  order  FILE            the order of the strands as a Graphviz graph\n"
    "  export FILE            everything derived, JSON\n"
    "  build  FILE... -o DIR  steps, drawing, order and export of every pattern\n"
    "  expand FILE            the source with its legs written out\n"
    "  format FILE...         the source in the one layout: --check, --write\n"
    "\n"
    "  -p, --pattern NAME     the pattern meant, where FILE holds several\n"
    "  -o, --output FILE      write there instead of standard output; of build: the folder\n"
    "      --string NAME      string it with this string instead of the pattern's own\n"
    "      --bench NAME       plan it for this bench\n"
    "      --check            of format: name the files that are not in the layout\n"
    "      --write            of format: rewrite them\n"
    "  -h, --help             this text\n"
    "      --version          the version\n"
    "\n"
    "FILE - is standard input. Exit status: 0 done, 1 the source has errors, 2 wrong use of the\n"
    "command, 3 a file could not be read or written. Wear eye protection when you string.\n";

static const struct {
    const char *word;
    enum verb verb;
    enum selvage_output output;
} verbs[] = {
    {"check", VERB_CHECK, SELVAGE_OUTPUTS},   {"steps", VERB_STEPS, SELVAGE_STEPS_TEXT},
    {"draw", VERB_DRAW, SELVAGE_DRAWING},     {"order", VERB_ORDER, SELVAGE_ORDER},
    {"export", VERB_EXPORT, SELVAGE_EXPORT},  {"build", VERB_BUILD, SELVAGE_OUTPUTS},
    {"expand", VERB_EXPAND, SELVAGE_OUTPUTS}, {"format", VERB_FORMAT, SELVAGE_OUTPUTS},
};

static bool refuse(enum exit_status *status, const char *what, const char *word) {
    fprintf(stderr, "selvage: %s%s%s\nselvage --help lists what there is\n", what,
            word != NULL ? ": " : "", word != NULL ? word : "");
    *status = EXIT_USAGE;
    return false;
}

/* Prints what was asked for instead of work. */
static bool tell(enum exit_status *status, const char *text) {
    bool told = fputs(text, stdout) >= 0 && fflush(stdout) == 0;
    if (!told) fprintf(stderr, "selvage: standard output: %s\n", strerror(errno));
    *status = told ? EXIT_DONE : EXIT_FILES;
    return false;
}

static bool take_verb(struct arguments *arguments, const char *word) {
    for (size_t i = 0; i < sizeof verbs / sizeof *verbs; i++) {
        if (strcmp(word, verbs[i].word) != 0) continue;
        arguments->verb = verbs[i].verb;
        arguments->output = verbs[i].output;
        return true;
    }
    return false;
}

static bool take_format(struct arguments *arguments, const char *word) {
    static const struct {
        const char *word;
        enum selvage_output output;
    } formats[] = {{"text", SELVAGE_STEPS_TEXT},
                   {"markdown", SELVAGE_STEPS_MARKDOWN},
                   {"csv", SELVAGE_STEPS_CSV}};
    for (size_t i = 0; i < sizeof formats / sizeof *formats; i++) {
        if (strcmp(word, formats[i].word) != 0) continue;
        arguments->output = formats[i].output;
        return true;
    }
    return false;
}

/* What belongs to format and what does not. */
static bool judge_layout(const struct arguments *arguments, enum exit_status *status) {
    bool format = arguments->verb == VERB_FORMAT, either = arguments->check || arguments->write;
    if (!format && either) return refuse(status, "--check and --write belong to format", NULL);
    if (!format) return true;
    if (arguments->check && arguments->write)
        return refuse(status, "--check looks, --write changes: one of them", NULL);
    if (!either && arguments->file_count > 1)
        return refuse(status, "several files need --check or --write", NULL);
    if (arguments->to != NULL) return refuse(status, "format has no -o; --write rewrites", NULL);
    if (arguments->pattern != NULL || arguments->string != NULL || arguments->bench != NULL)
        return refuse(status, "format takes whole files", NULL);
    return true;
}

bool arguments_read(int count, char **words, struct arguments *arguments,
                    enum exit_status *status) {
    enum { STRING = 256, BENCH, FORMAT, VERSION, CHECK, WRITE };
    static const struct option options[] = {
        {"pattern", required_argument, NULL, 'p'},   {"output", required_argument, NULL, 'o'},
        {"string", required_argument, NULL, STRING}, {"bench", required_argument, NULL, BENCH},
        {"format", required_argument, NULL, FORMAT}, {"help", no_argument, NULL, 'h'},
        {"version", no_argument, NULL, VERSION},     {"check", no_argument, NULL, CHECK},
        {"write", no_argument, NULL, WRITE},         {NULL, 0, NULL, 0}};
    *arguments = (struct arguments){.verb = VERB_NONE};
    *status = EXIT_DONE;
    const char *format = NULL;
    char version[32];
    snprintf(version, sizeof version, "selvage %s\n", selvage_version());
    int option;
    while ((option = getopt_long(count, words, "p:o:h", options, NULL)) != -1) {
        switch (option) {
        case 'p': arguments->pattern = optarg; break;
        case 'o': arguments->to = optarg; break;
        case STRING: arguments->string = optarg; break;
        case BENCH: arguments->bench = optarg; break;
        case FORMAT: format = optarg; break;
        case CHECK: arguments->check = true; break;
        case WRITE: arguments->write = true; break;
        case 'h': return tell(status, usage);
        case VERSION: return tell(status, version);
        default: return refuse(status, "wrong option", NULL); /* getopt has named it */
        }
    }
    if (optind == count) return refuse(status, "a verb is due", NULL);
    if (!take_verb(arguments, words[optind]))
        return refuse(status, "there is no such verb", words[optind]);
    arguments->files = words + optind + 1;
    arguments->file_count = count - optind - 1;
    bool many = arguments->verb == VERB_CHECK || arguments->verb == VERB_BUILD ||
                arguments->verb == VERB_FORMAT;
    if (format != NULL && arguments->verb != VERB_STEPS)
        return refuse(status, "--format belongs to steps", NULL);
    if (format != NULL && !take_format(arguments, format))
        return refuse(status, "there is no such format", format);
    if (arguments->file_count == 0) return refuse(status, "a file is due", NULL);
    if (!many && arguments->file_count > 1) return refuse(status, "one file at a time", NULL);
    if (arguments->pattern != NULL && arguments->file_count > 1)
        return refuse(status, "-p names a pattern of one file", NULL);
    if (arguments->verb == VERB_BUILD && arguments->to == NULL)
        return refuse(status, "build needs a folder: -o DIR", NULL);
    if (arguments->verb == VERB_CHECK && arguments->to != NULL)
        return refuse(status, "check writes to standard output only", NULL);
    return judge_layout(arguments, status);
}
