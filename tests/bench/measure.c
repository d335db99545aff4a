/* Whole-process times as multiples of the floor, measured in turn: A B A B ... The ratio of a pair
 * is taken before anything is averaged, so that a machine whose speed drifts does no harm. usage:
 * measure FLOOR SELVAGE FOLDER (a folder for scratch files, in which bulk.slv, bulk.xml, written/ and found/
 * lie) */
#define _GNU_SOURCE
#include <errno.h>
#include <fcntl.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { PAIRS = 301, WARM_UP = 10, BULK_PAIRS = 9 };

extern char **environ;

static double now(void) {
    struct timespec at;
    clock_gettime(CLOCK_MONOTONIC, &at);
    return (double)at.tv_sec * 1e3 + (double)at.tv_nsec * 1e-6;
}

/* Milliseconds of one run with its output thrown away; its peak memory in KiB goes to `*peak`. */
static double run(char *const *words, long *peak) {
    posix_spawn_file_actions_t actions;
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
    pid_t child;
    double start = now();
    int failed = posix_spawnp(&child, words[0], &actions, NULL, words, environ);
    int status = 0;
    struct rusage usage;
    if (failed == 0 && wait4(child, &status, 0, &usage) == child && WIFEXITED(status) &&
        WEXITSTATUS(status) == 0) {
        double spent = now() - start;
        posix_spawn_file_actions_destroy(&actions);
        if (usage.ru_maxrss > *peak) *peak = usage.ru_maxrss;
        return spent;
    }
    fprintf(stderr, "measure: %s did not run well\n", words[0]);
    exit(1);
}

static int by_value(const void *left, const void *right) {
    double a = *(const double *)left, b = *(const double *)right;
    return a < b ? -1 : a > b;
}

static double median(double *values, size_t count) {
    qsort(values, count, sizeof *values, by_value);
    return values[count / 2];
}

/* `second` is run in turn with `first` where the two write different things to one place. */
static void compare(const char *what, double goal, char *floor, char *const *first,
                    char *const *second) {
    static double ratios[PAIRS], times[PAIRS], floors[PAIRS];
    char *floor_words[] = {floor, NULL};
    long peak = 0, floor_peak = 0;
    for (int i = -WARM_UP; i < PAIRS; i++) {
        double base = run(floor_words, &floor_peak);
        double spent = run(i % 2 == 0 ? first : second, &peak);
        if (i < 0) continue;
        floors[i] = base;
        times[i] = spent;
        ratios[i] = spent / base;
    }
    double ratio = median(ratios, PAIRS);
    printf("%-34s %5.2f  (goal %4.2f)%s  %6.3f ms, floor %6.3f ms, %5.2f MiB\n", what, ratio, goal,
           ratio <= goal ? " " : "!", median(times, PAIRS), median(floors, PAIRS),
           (double)peak / 1024);
}

static double megabytes(const char *path) {
    struct stat status;
    if (stat(path, &status) == 0) return (double)status.st_size / 1e6;
    fprintf(stderr, "measure: %s: %s\n", path, strerror(errno));
    exit(1);
}

static int is_there(const char *program) {
    char command[4096];
    snprintf(command, sizeof command, "command -v %s > /dev/null 2>&1", program);
    return system(command) == 0;
}

/* How much of a large text goes through in a second, in turn with a peer on a text of its own. */
static void stream(const char *what, double goal, char *const *own, const char *text, char **peer,
                   const char *peer_text) {
    double times[BULK_PAIRS], ratios[BULK_PAIRS], size = megabytes(text);
    long peak = 0, peer_peak = 0;
    int compared = peer != NULL && is_there(peer[0]);
    for (int i = -1; i < BULK_PAIRS; i++) {
        double spent = run(own, &peak);
        double other = compared ? run(peer, &peer_peak) * size / megabytes(peer_text) : 0;
        if (i < 0) continue;
        times[i] = spent;
        ratios[i] = other / spent;
    }
    double speed = size / median(times, BULK_PAIRS) * 1e3;
    printf("%-34s %5.1f  (goal %4.0f)%s  MB/s on %.0f MB, %.0f MiB", what, speed, goal,
           speed >= goal ? " " : "!", size, (double)peak / 1024);
    if (compared)
        printf("; %.1f times as fast as %s, which takes %.0f MiB", median(ratios, BULK_PAIRS),
               peer[0], (double)peer_peak / 1024);
    printf("\n");
}

enum { TEXTS = 25 };

/* Ten thousand files, with one job and with two; a goal of 0: none is set. */
static void crowd(char *selvage, char *folder, const char *what, double goal) {
    enum { FILES = 10000 };
    char *one[] = {selvage, "check", folder, NULL};
    char *two[] = {selvage, "check", "-j", "2", folder, NULL};
    double times[BULK_PAIRS], ratios[BULK_PAIRS];
    long peak = 0;
    for (int i = -1; i < BULK_PAIRS; i++) {
        double alone = run(one, &peak), together = run(two, &peak);
        if (i < 0) continue;
        times[i] = alone;
        ratios[i] = alone / together;
    }
    double speed = FILES / median(times, BULK_PAIRS) * 1e3, gain = median(ratios, BULK_PAIRS);
    printf("%-34s %5.0f  (goal %5.0f)%s files a second, one job, %.1f MiB at the most\n", what, speed,
           goal, speed >= goal ? " " : "!", (double)peak / 1024);
    printf("%-34s %5.2f  (goal  1.8)%s times as fast as one\n", "two jobs", gain,
           gain >= 1.8 ? " " : "!");
}

static void copy_with(const char *from, const char *to, const char *word, const char *instead) {
    FILE *in = fopen(from, "r"), *out = fopen(to, "w");
    if (in == NULL || out == NULL) {
        fprintf(stderr, "measure: %s: %s\n", in == NULL ? from : to, strerror(errno));
        exit(1);
    }
    char line[512];
    int skipping = 0;
    while (fgets(line, sizeof line, in) != NULL) {
        /* one pattern only */
        if (strncmp(line, "pattern ", 8) == 0)
            skipping = strncmp(line, "pattern kestrel-world ", 22) != 0;
        if (skipping) continue;
        char *at = strstr(line, word);
        if (at == NULL)
            fputs(line, out);
        else
            fprintf(out, "%.*s%s%s", (int)(at - line), line, instead, at + strlen(word));
    }
    fclose(in);
    fclose(out);
}

int main(int count, char **words) {
    if (count != 4) return 2;
    char *floor = words[1], *selvage = words[2], one[4096], other[4096], folder[4096];
    char written[4096];
    snprintf(one, sizeof one, "%s/one.slv", words[3]);
    snprintf(other, sizeof other, "%s/other.slv", words[3]);
    snprintf(folder, sizeof folder, "%s/out", words[3]);
    snprintf(written, sizeof written, "%s/written/kestrel.slv", words[3]);
    copy_with(written, one, "Kestrel 125", "Kestrel 125");
    copy_with(written, other, "Kestrel 125", "Kestrel 521");
    char *check[] = {selvage, "check", one, NULL};
    char *draw[] = {selvage, "draw", one, NULL};
    char *steps[] = {selvage, "steps", one, NULL};
    char *order[] = {selvage, "order", one, NULL};
    char *export[] = {selvage, "export", one, NULL};
    char *build[] = {selvage, "build", one, "-o", folder, NULL};
    char *build_other[] = {selvage, "build", other, "-o", folder, NULL};
    char *floor_words[] = {floor, NULL};
    printf(
        "whole process, as multiples of a trivial program measured in turn, medians of %d pairs\n",
        PAIRS);
    compare("a trivial program (floor)", 1.1, floor, floor_words, floor_words);
    compare("check one pattern", 1.75, floor, check, check);
    compare("draw to standard output", 2, floor, draw, draw);
    compare("steps to standard output", 2, floor, steps, steps);
    compare("order to standard output", 2, floor, order, order);
    compare("export to standard output", 2.5, floor, export, export);
    compare("build, all outputs changed", 3.5, floor, build, build_other);
    compare("build, nothing changed", 2, floor, build, build);
    char bulk[4096], bulk_xml[4096], bulk_dts[4096], parse[4096], many[4096];
    snprintf(bulk, sizeof bulk, "%s/bulk.slv", words[3]);
    snprintf(bulk_xml, sizeof bulk_xml, "%s/bulk.xml", words[3]);
    snprintf(bulk_dts, sizeof bulk_dts, "%s/bulk.dts", words[3]);
    snprintf(parse, sizeof parse, "%s/parse", words[3]);
    snprintf(many, sizeof many, "%s/many", words[3]);
    char *layout[] = {selvage, "format", bulk, NULL};
    char parts[TEXTS][4096];
    char *read[TEXTS + 2] = {parse};
    for (int i = 0; i < TEXTS; i++) {
        snprintf(parts[i], sizeof parts[i], "%s/texts/%d.slv", words[3], i);
        read[i + 1] = parts[i];
    }
    char texts[4096];
    snprintf(texts, sizeof texts, "%s/texts", words[3]);
    char *check_bulk[] = {selvage, "check", texts, NULL};
    char *format_xml[] = {"xmllint", "--format", bulk_xml, NULL};
    char *read_xml[] = {"xmllint", "--noout", bulk_xml, NULL};
    char *read_dts[] = {"dtc", "-q", "-I", "dts", "-O", "dts", "-o", "/dev/null", bulk_dts, NULL};
    printf("large texts of the same size and matter, whole processes, medians of %d\n", BULK_PAIRS);
    stream("scan and parse", 100, read, bulk, read_xml, bulk_xml);
    stream("scan and parse", 100, read, bulk, read_dts, bulk_dts);
    stream("format", 50, layout, bulk, format_xml, bulk_xml);
    stream("check, every pattern strung", 5, check_bulk, bulk, NULL, NULL);
    crowd(selvage, many, "check ten thousand files", 10000);
    snprintf(many, sizeof many, "%s/found/many", words[3]);
    crowd(selvage, many, "the same, most legs to be found", 0);
    return 0;
}
