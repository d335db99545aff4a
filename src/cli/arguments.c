/* Options by getopt_long. */
#define _POSIX_C_SOURCE 200809L /* isatty */
#include "cli/arguments.h"

#include <errno.h>
#include <getopt.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <unistd.h>

enum { MOST_JOBS = 64, USUAL_WAYS = 3 };

static const char usage[] =
    "usage: selvage VERB [OPTION...] FILE...\n"
    "\n"
    "  check  FILE...         what is wrong with these patterns; of a folder, every .slv below it\n"
    "  explain CODE...        what a finding means: SV-301; without a code: the list of them\n"
    "  steps  FILE            the step list: --format text|markdown|csv\n"
    "  draw   FILE            the frame diagram, SVG\n"
    "  page   FILE            the page for the bench, HTML\n"
    "  order  FILE            the order of the strands as a Graphviz graph\n"
    "  export FILE            everything derived, JSON\n"
    "  compare FILE [FILE]    two patterns for one frame side by side, of one file or of two:\n"
    "                         --format text|markdown|json\n"
    "  search FILE            the best ways to string what a pattern insists on: --format as for\n"
    "                         compare\n"
    "  bed    FILE            what the frame feels, pull by pull, and the tension that is left:\n"
    "                         --format text|markdown|json|csv|svg\n"
    "  build  FILE... -o DIR  steps, drawing, order and export of every pattern\n"
    "  chart  FILE... -o OUT  patterns as cards on sheets for the wall, SVG or PDF by the name of "
    "OUT\n"
    "  sheet  FILE            one pattern on one page for the bench: -o OUT as for chart\n"
    "  catalogue DIR... -o SITE\n"
    "                         pages of every pattern below these folders, with an index to search\n"
    "  expand FILE            the source with its legs written out\n"
    "  format FILE...         the source in the one layout: --check, --write\n"
    "\n"
    "  -p, --pattern NAME     the pattern meant, where FILE holds several; of compare: one of two\n"
    "  -o, --output FILE      write there instead of standard output; of build and\n"
    "                         catalogue: the folder\n"
    "      --string NAME      string it with this string instead of the pattern's own\n"
    "      --bench NAME       plan it for this bench\n"
    "      --mirror           string it with its sides exchanged, left for right\n"
    "      --long-side SIDE   the same where its long side is not this one: left or right\n"
    "      --error CODE       take these findings for errors; CODE is a code (SV-511), a family\n"
    "                         (text holes route weave order finish limits play), all, or\n"
    "                         several with commas between\n"
    "      --warn CODE        take them for warnings\n"
    "      --ignore CODE      set them aside\n"
    "      --color WHEN       auto, always or never\n"
    "\n"
    "  of check:\n"
    "      --format FORM      text, json or sarif\n"
    "      --fix              make the changes that are safe, in the files\n"
    "  -j, --jobs N           check N files at once\n"
    "\n"
    "  of format; of a folder, every .slv below it:\n"
    "      --check            name the files that are not in the layout\n"
    "      --write            rewrite them\n"
    "\n"
    "  of search:\n"
    "      --ways N           how many ways, 1 to 5\n"
    "\n"
    "  of bed:\n"
    "      --even             the pulls that would leave mains and crosses even; as text,\n"
    "                         markdown or json\n"
    "\n"
    "  of steps, page, sheet and catalogue:\n"
    "      --bed              with what the frame feels\n"
    "\n"
    "  of chart and sheet:\n"
    "      --paper PAPER      of chart A2, A3, A4 or letter; of sheet A4, A5 or letter\n"
    "      --landscape        of chart: sheets lie across; else whichever way cards are larger\n"
    "      --tile PAPER       of chart: cut into sheets of A4 or letter, to be put together\n"
    "\n"
    "  -h, --help             this text\n"
    "      --version          the version\n"
    "\n"
    "FILE - is standard input. Exit status: 0 done, 1 the source has errors, 2 wrong use of the\n"
    "command, 3 a file could not be read or written. Wear eye protection when you string.\n";

static const struct {
    const char *word;
    enum verb verb;
    enum selvage_output output;
    bool many; /* files, where others take one */
} verbs[] = {
    {"check", VERB_CHECK, SELVAGE_OUTPUTS, true},
    {"explain", VERB_EXPLAIN, SELVAGE_OUTPUTS, true},
    {"steps", VERB_STEPS, SELVAGE_STEPS_TEXT, false},
    {"draw", VERB_DRAW, SELVAGE_DRAWING, false},
    {"order", VERB_ORDER, SELVAGE_ORDER, false},
    {"export", VERB_EXPORT, SELVAGE_EXPORT, false},
    {"page", VERB_PAGE, SELVAGE_PAGE, false},
    {"build", VERB_BUILD, SELVAGE_OUTPUTS, true},
    {"expand", VERB_EXPAND, SELVAGE_OUTPUTS, false},
    {"format", VERB_FORMAT, SELVAGE_OUTPUTS, true},
    {"catalogue", VERB_CATALOGUE, SELVAGE_OUTPUTS, true},
    {"compare", VERB_COMPARE, SELVAGE_OUTPUTS, true},
    {"search", VERB_SEARCH, SELVAGE_OUTPUTS, false},
    {"bed", VERB_BED, SELVAGE_OUTPUTS, false},
    {"chart", VERB_CHART, SELVAGE_OUTPUTS, true},
    {"sheet", VERB_SHEET, SELVAGE_OUTPUTS, false},
};

enum {
    STRING = 256,
    BENCH,
    MIRROR,
    LONG_SIDE,
    FORMAT,
    VERSION,
    COLOUR,
    FIX,
    CHECK,
    WRITE,
    PAPER,
    LANDSCAPE,
    TILE,
    WAYS,
    EVEN,
    BED,
    SETTING
};

static const struct option options[] = {
    {"pattern", required_argument, NULL, 'p'},
    {"output", required_argument, NULL, 'o'},
    {"string", required_argument, NULL, STRING},
    {"bench", required_argument, NULL, BENCH},
    {"mirror", no_argument, NULL, MIRROR},
    {"long-side", required_argument, NULL, LONG_SIDE},
    {"format", required_argument, NULL, FORMAT},
    {"help", no_argument, NULL, 'h'},
    {"version", no_argument, NULL, VERSION},
    {"color", required_argument, NULL, COLOUR},
    {"fix", no_argument, NULL, FIX},
    {"check", no_argument, NULL, CHECK},
    {"write", no_argument, NULL, WRITE},
    {"jobs", required_argument, NULL, 'j'},
    {"paper", required_argument, NULL, PAPER},
    {"landscape", no_argument, NULL, LANDSCAPE},
    {"tile", required_argument, NULL, TILE},
    {"ways", required_argument, NULL, WAYS},
    {"even", no_argument, NULL, EVEN},
    {"bed", no_argument, NULL, BED},
    {"error", required_argument, NULL, SETTING + SELVAGE_ERROR},
    {"warn", required_argument, NULL, SETTING + SELVAGE_WARNING},
    {"ignore", required_argument, NULL, SETTING + SELVAGE_IGNORED},
    {NULL, 0, NULL, 0}};

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

/* --format: of steps the output, of check the form of the findings, of compare its own. */
static const struct {
    enum verb verb;
    const char *word;
    int value;
} formats[] = {{VERB_STEPS, "text", SELVAGE_STEPS_TEXT},
               {VERB_STEPS, "markdown", SELVAGE_STEPS_MARKDOWN},
               {VERB_STEPS, "csv", SELVAGE_STEPS_CSV},
               {VERB_CHECK, "text", SELVAGE_TEXT},
               {VERB_CHECK, "json", SELVAGE_JSON},
               {VERB_CHECK, "sarif", SELVAGE_SARIF},
               {VERB_COMPARE, "text", SELVAGE_COMPARE_TEXT},
               {VERB_COMPARE, "markdown", SELVAGE_COMPARE_MARKDOWN},
               {VERB_COMPARE, "json", SELVAGE_COMPARE_JSON},
               {VERB_SEARCH, "text", SELVAGE_COMPARE_TEXT},
               {VERB_SEARCH, "markdown", SELVAGE_COMPARE_MARKDOWN},
               {VERB_SEARCH, "json", SELVAGE_COMPARE_JSON},
               {VERB_BED, "text", SELVAGE_BED_TEXT},
               {VERB_BED, "markdown", SELVAGE_BED_MARKDOWN},
               {VERB_BED, "json", SELVAGE_BED_JSON},
               {VERB_BED, "csv", SELVAGE_BED_CSV},
               {VERB_BED, "svg", SELVAGE_BED_PICTURE}};
enum { FORMATS = sizeof formats / sizeof *formats };

static bool take_format(struct arguments *arguments, const char *word) {
    for (size_t i = 0; i < FORMATS; i++) {
        if (arguments->verb != formats[i].verb || strcmp(formats[i].word, word) != 0) continue;
        if (arguments->verb == VERB_STEPS)
            arguments->output = (enum selvage_output)formats[i].value;
        else if (arguments->verb == VERB_COMPARE || arguments->verb == VERB_SEARCH)
            arguments->comparison = (enum selvage_comparison)formats[i].value;
        else if (arguments->verb == VERB_BED)
            arguments->bed_form = (enum selvage_bed_form)formats[i].value;
        else
            arguments->form = (enum selvage_form)formats[i].value;
        return true;
    }
    return false;
}

/* "text, markdown or json" */
static bool refuse_format(enum verb verb, const char *word, enum exit_status *status) {
    char there_are[80] = "";
    size_t length = 0;
    for (size_t i = 0; i < FORMATS; i++) {
        if (formats[i].verb != verb) continue;
        bool last = i + 1 == FORMATS || formats[i + 1].verb != verb;
        const char *before = length == 0 ? "" : last ? " or " : ", ";
        length += (size_t)snprintf(there_are + length, sizeof there_are - length, "%s%s", before,
                                   formats[i].word);
    }
    char what[120];
    snprintf(what, sizeof what, "--format is %s here, not", there_are);
    return refuse(status, what, word);
}

static bool take_setting(struct arguments *arguments, const char *what,
                         enum selvage_severity severity) {
    size_t count = arguments->setting_count;
    struct selvage_setting *grown = realloc(arguments->settings, (count + 1) * sizeof *grown);
    if (grown == NULL) return false;
    grown[count] = (struct selvage_setting){what, severity};
    arguments->settings = grown;
    arguments->setting_count++;
    return selvage_setting_known(what);
}

/* A whole number from 1. */
static bool take_number(const char *word, int most, int *number) {
    char *end;
    long value = strtol(word, &end, 10);
    if (*word == '\0' || *end != '\0' || value < 1 || value > most) return false;
    *number = (int)value;
    return true;
}

/* Either option says which sides a pattern is strung with, and once. `word` is that of --long-side;
 * NULL: --mirror. */
static bool take_sides(struct arguments *arguments, const char *word, enum exit_status *status) {
    bool left = word != NULL && strcmp(word, "left") == 0,
         right = word != NULL && strcmp(word, "right") == 0;
    if (word != NULL && !left && !right)
        return refuse(status, "--long-side is left or right, not", word);
    if (arguments->sides != SELVAGE_AS_WRITTEN)
        return refuse(status, "--mirror, or --long-side left or right: one of them", NULL);
    arguments->sides = left    ? SELVAGE_LONG_SIDE_LEFT
                       : right ? SELVAGE_LONG_SIDE_RIGHT
                               : SELVAGE_MIRRORED;
    return true;
}

/* Colour only for a terminal that does not refuse it (no-color.org), unless it is said. */
static bool wants_colour(const char *when, int descriptor) {
    if (strcmp(when, "auto") != 0) return strcmp(when, "always") == 0;
    const char *none = getenv("NO_COLOR"), *terminal = getenv("TERM");
    bool refused =
        (none != NULL && none[0] != '\0') || terminal == NULL || strcmp(terminal, "dumb") == 0;
    return !refused && isatty(descriptor);
}

static bool take_colour(struct arguments *arguments, const char *when) {
    if (strcmp(when, "auto") != 0 && strcmp(when, "always") != 0 && strcmp(when, "never") != 0)
        return false;
    arguments->colour_errors = wants_colour(when, STDERR_FILENO);
    if (arguments->form == SELVAGE_TEXT && wants_colour(when, STDOUT_FILENO))
        arguments->form = SELVAGE_COLOUR;
    return true;
}

void arguments_free(struct arguments *arguments) { free(arguments->settings); }

/* What belongs to format and what does not. */
static bool judge_layout(const struct arguments *arguments, enum exit_status *status) {
    bool format = arguments->verb == VERB_FORMAT, either = arguments->check || arguments->write;
    if (!format && either) return refuse(status, "--check and --write belong to format", NULL);
    if (!format) return true;
    if (arguments->check && arguments->write)
        return refuse(status, "--check looks, --write changes: one of them", NULL);
    for (int i = 0; arguments->write && i < arguments->file_count; i++)
        if (strcmp(arguments->files[i], "-") == 0)
            return refuse(status, "--write rewrites files; standard input is none", NULL);
    if (!either && arguments->file_count > 1)
        return refuse(status, "several files need --check or --write", NULL);
    if (arguments->to != NULL) return refuse(status, "format has no -o; --write rewrites", NULL);
    bool whole = arguments->pattern == NULL && arguments->string == NULL &&
                 arguments->bench == NULL && arguments->setting_count == 0 &&
                 arguments->sides == SELVAGE_AS_WRITTEN;
    return whole || refuse(status, "format takes whole files as they are", NULL);
}

/* Any of the words that stand for paper, in any case; of a verb only some. */
static bool take_paper(const char *word, const char *fit, enum selvage_paper *paper) {
    static const struct {
        const char *word;
        enum selvage_paper paper;
    } papers[] = {{"A2", SELVAGE_A2},
                  {"A3", SELVAGE_A3},
                  {"A4", SELVAGE_A4},
                  {"A5", SELVAGE_A5},
                  {"letter", SELVAGE_LETTER}};
    for (size_t i = 0; i < sizeof papers / sizeof *papers; i++) {
        if (strcasecmp(word, papers[i].word) != 0 || strstr(fit, papers[i].word) == NULL) continue;
        *paper = papers[i].paper;
        return true;
    }
    return false;
}

/* What is printed on, and what belongs to printing alone. */
static bool take_papers(struct arguments *arguments, const char *paper, const char *tile,
                        enum exit_status *status) {
    bool chart = arguments->verb == VERB_CHART, sheet = arguments->verb == VERB_SHEET;
    if (paper != NULL && !chart && !sheet)
        return refuse(status, "--paper belongs to chart and sheet", NULL);
    if ((tile != NULL || arguments->landscape) && !chart)
        return refuse(status, "--tile and --landscape belong to chart", NULL);
    arguments->paper = sheet ? SELVAGE_A4 : SELVAGE_A2;
    arguments->tiled = tile != NULL;
    if (paper != NULL &&
        !take_paper(paper, sheet ? "A4 A5 letter" : "A2 A3 A4 letter", &arguments->paper))
        return refuse(status,
                      sheet ? "--paper of a sheet is A4, A5 or letter"
                            : "--paper of a chart is A2, A3, A4 or letter",
                      paper);
    if (tile != NULL && !take_paper(tile, "A4 letter", &arguments->tile))
        return refuse(status, "--tile is A4 or letter", tile);
    return true;
}

/* Two patterns, of one file or of two. */
static bool judge_compared(const struct arguments *arguments, enum exit_status *status) {
    if (arguments->file_count > 2) return refuse(status, "two files at the most", NULL);
    if (arguments->file_count == 1) {
        bool both = (arguments->pattern == NULL) == (arguments->second == NULL);
        return both || refuse(status, "of one file two patterns are compared: -p twice", NULL);
    }
    bool input = strcmp(arguments->files[0], "-") == 0 && strcmp(arguments->files[1], "-") == 0;
    return !input || refuse(status, "one of two files can be standard input", NULL);
}

/* Whole folders into one. */
static bool judge_catalogue(const struct arguments *arguments, enum exit_status *status) {
    if (arguments->to == NULL) return refuse(status, "catalogue needs a folder: -o SITE", NULL);
    if (arguments->pattern != NULL)
        return refuse(status, "a catalogue holds every pattern; -p belongs to other verbs", NULL);
    for (int i = 0; i < arguments->file_count; i++)
        if (strcmp(arguments->files[i], "-") == 0)
            return refuse(status, "catalogue reads folders and files, not standard input", NULL);
    return judge_layout(arguments, status);
}

/* An option that getopt does not take: there is none such, or what belongs to it is amiss. */
static bool refuse_option(char **words, enum exit_status *status) {
    const char *word = words[optind - 1];
    bool long_one = strncmp(word, "--", 2) == 0,
         letter = !long_one && optopt > ' ' && optopt < 0x7F;
    char option[] = {'-', letter ? (char)optopt : '-', '\0'};
    bool known = false;
    for (const struct option *at = options; at->name != NULL; at++) {
        bool meant = long_one ? strcmp(word + 2, at->name) == 0 : letter && at->val == optopt;
        known |= meant && at->has_arg == required_argument;
    }
    return refuse(status, known ? "something belongs behind this option" : "there is no option",
                  letter ? option : word);
}

static bool take_pattern(struct arguments *arguments, const char *name, enum exit_status *status) {
    if (arguments->second != NULL)
        return refuse(status, "no verb takes more than two patterns", NULL);
    if (arguments->pattern != NULL)
        arguments->second = name;
    else
        arguments->pattern = name;
    return true;
}

static bool tell_version(enum exit_status *status) {
    char version[32];
    snprintf(version, sizeof version, "selvage %s\n", selvage_version());
    return tell(status, version);
}

/* Options that mean nothing before the verb is known, as they were written. */
struct unsettled {
    const char *format, *colour, *jobs, *paper, *tile, *ways;
};

static bool take_option(struct arguments *arguments, struct unsettled *unsettled, int option,
                        char **words, enum exit_status *status) {
    switch (option) {
    case 'p': return take_pattern(arguments, optarg, status);
    case 'o': arguments->to = optarg; return true;
    case STRING: arguments->string = optarg; return true;
    case BENCH: arguments->bench = optarg; return true;
    case MIRROR: return take_sides(arguments, NULL, status);
    case LONG_SIDE: return take_sides(arguments, optarg, status);
    case FORMAT: unsettled->format = optarg; return true;
    case COLOUR: unsettled->colour = optarg; return true;
    case 'j': unsettled->jobs = optarg; return true;
    case PAPER: unsettled->paper = optarg; return true;
    case WAYS: unsettled->ways = optarg; return true;
    case TILE: unsettled->tile = optarg; return true;
    case FIX: arguments->fix = true; return true;
    case CHECK: arguments->check = true; return true;
    case WRITE: arguments->write = true; return true;
    case LANDSCAPE: arguments->landscape = true; return true;
    case EVEN: arguments->even = true; return true;
    case BED: arguments->bed = true; return true;
    case SETTING + SELVAGE_ERROR:
    case SETTING + SELVAGE_WARNING:
    case SETTING + SELVAGE_IGNORED:
        return take_setting(arguments, optarg, (enum selvage_severity)(option - SETTING)) ||
               refuse(status, "no finding and no family has this code", optarg);
    case 'h': return tell(status, usage);
    case VERSION: return tell_version(status);
    default: return refuse_option(words, status);
    }
}

/* What of them belongs to the verb, and what not. */
static bool settle(struct arguments *arguments, const struct unsettled *unsettled,
                   enum exit_status *status) {
    enum verb verb = arguments->verb;
    bool formed = verb == VERB_STEPS || verb == VERB_CHECK || verb == VERB_COMPARE ||
                  verb == VERB_SEARCH || verb == VERB_BED;
    if (unsettled->format != NULL && !formed)
        return refuse(status, "--format belongs to steps, check, compare, search and bed", NULL);
    if (arguments->even && verb != VERB_BED) return refuse(status, "--even belongs to bed", NULL);
    bool shows_bed =
        verb == VERB_STEPS || verb == VERB_PAGE || verb == VERB_SHEET || verb == VERB_CATALOGUE;
    if (arguments->bed && !shows_bed)
        return refuse(status, "--bed belongs to steps, page, sheet and catalogue", NULL);
    if (unsettled->ways != NULL && verb != VERB_SEARCH)
        return refuse(status, "--ways belongs to search", NULL);
    if (unsettled->ways != NULL &&
        !take_number(unsettled->ways, SELVAGE_MOST_WAYS, &arguments->ways))
        return refuse(status, "--ways is a number from 1 to 5", NULL);
    if (verb != VERB_CHECK && (arguments->fix || unsettled->jobs != NULL))
        return refuse(status, "--fix and --jobs belong to check", NULL);
    if (!take_papers(arguments, unsettled->paper, unsettled->tile, status)) return false;
    if (unsettled->jobs != NULL && !take_number(unsettled->jobs, MOST_JOBS, &arguments->jobs))
        return refuse(status, "--jobs is a number from 1 to 64", NULL);
    if (unsettled->format != NULL && !take_format(arguments, unsettled->format))
        return refuse_format(verb, unsettled->format, status);
    bool in_words =
        arguments->bed_form != SELVAGE_BED_CSV && arguments->bed_form != SELVAGE_BED_PICTURE;
    if (arguments->even && !in_words)
        return refuse(status, "--even goes with text, markdown and json", NULL);
    return take_colour(arguments, unsettled->colour) ||
           refuse(status, "--color is auto, always or never", NULL);
}

static bool takes_many(enum verb verb) {
    for (size_t i = 0; i < sizeof verbs / sizeof *verbs; i++)
        if (verbs[i].verb == verb) return verbs[i].many;
    return false;
}

/* Changes are made in files, to what is written in them. */
static bool judge_fix(const struct arguments *arguments, enum exit_status *status) {
    if (arguments->fix && arguments->sides != SELVAGE_AS_WRITTEN)
        return refuse(status, "--fix changes a text as it is written, sides and all", NULL);
    for (int i = 0; arguments->fix && i < arguments->file_count; i++)
        if (strcmp(arguments->files[i], "-") == 0)
            return refuse(status, "--fix changes files; standard input is none", NULL);
    return true;
}

/* Whether the verb can do with what it is given. */
static bool judge(const struct arguments *arguments, enum exit_status *status) {
    if (arguments->verb == VERB_EXPLAIN) {
        bool codes_only = arguments->pattern == NULL && arguments->to == NULL &&
                          arguments->string == NULL && arguments->bench == NULL &&
                          arguments->setting_count == 0 && arguments->sides == SELVAGE_AS_WRITTEN;
        return codes_only || refuse(status, "explain takes codes and no options", NULL);
    }
    if (arguments->file_count == 0)
        return refuse(
            status, arguments->verb == VERB_CATALOGUE ? "a folder is due" : "a file is due", NULL);
    if (arguments->verb == VERB_COMPARE)
        return judge_compared(arguments, status) && judge_layout(arguments, status);
    if (arguments->second != NULL) return refuse(status, "one pattern at a time", NULL);
    if (!takes_many(arguments->verb) && arguments->file_count > 1)
        return refuse(status, "one file at a time", NULL);
    if (arguments->pattern != NULL && arguments->file_count > 1)
        return refuse(status, "-p names a pattern of one file", NULL);
    if (arguments->verb == VERB_CATALOGUE) return judge_catalogue(arguments, status);
    if (arguments->verb == VERB_BUILD && arguments->to == NULL)
        return refuse(status, "build needs a folder: -o DIR", NULL);
    if (arguments->verb == VERB_CHECK && arguments->to != NULL)
        return refuse(status, "check writes to standard output only", NULL);
    return judge_fix(arguments, status) && judge_layout(arguments, status);
}

bool arguments_read(int count, char **words, struct arguments *arguments,
                    enum exit_status *status) {
    *arguments = (struct arguments){.verb = VERB_NONE, .jobs = 1, .ways = USUAL_WAYS};
    *status = EXIT_DONE;
    struct unsettled unsettled = {.colour = "auto"};
    int option;
    opterr = 0; /* what is wrong is told here */
    while ((option = getopt_long(count, words, "p:o:hj:", options, NULL)) != -1)
        if (!take_option(arguments, &unsettled, option, words, status)) return false;
    if (optind == count) return refuse(status, "a verb is due", NULL);
    if (!take_verb(arguments, words[optind]))
        return refuse(status, "there is no such verb", words[optind]);
    arguments->files = words + optind + 1;
    arguments->file_count = count - optind - 1;
    return settle(arguments, &unsettled, status) && judge(arguments, status);
}
