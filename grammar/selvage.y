/* The grammar. One list of lines for every block: which line may stand where is said after parsing.
 * An action is one call into syntax/build.h; nothing is checked, reckoned or looked up here.
 * The lines %keywords and %keyword-names are filled in from keywords.def. */
%require "3.8"
%define api.pure full
%define api.push-pull push
%define api.prefix {selvage_yy}
%define api.token.prefix {TOK_}
%define api.value.type {union syntax_value}
%define api.location.type {struct span}
%define parse.error custom
%define parse.lac full
%locations
%expect 0
%param {struct syntax *syntax}

%code requires {
#include "syntax/build.h"
}

%code {
#pragma GCC diagnostic ignored "-Wconversion"
#define YYLLOC_DEFAULT(current, from, n) ((current) = syntax_span(&YYRHSLOC(from, 0), (n)))
static void selvage_yyerror(struct span *span, struct syntax *syntax, const char *message);
}

%token LINE_END "end of line"
       OPEN     "{"
       CLOSE    "}"
       COMMA    ","
       PLUS     "+"
       MINUS    "-"
       PERCENT  "%"
       TO       ".."
       G_CM3    "g/cm3"
       N        "N"
%token <name>   NAME   "a name"
%token <name>   TITLE  "a title in quotes"
%token <number> NUMBER "a number"
%token <strand> STRAND "a strand (M1, C1)"
%token <hole>   HOLE   "a hole (7H, 7T)"
%keywords

%type <name> name title
%type <number> number stiffness stiffness_unit
%type <unit> unit force
%type <side> side side_opt short_side
%type <place> place
%type <end> end by
%type <lane> facing
%type <hole> hole
%type <strands> strands
%type <slots> slot slots
%type <ats> station stations tape_mark tape
%type <holes> hole_list hole_member
%type <strands_list> strands_list strands_member skip
%type <clamps> clamp_list clamp_count
%type <bears> bears bears_first bears_next
%type <bearing> bearing
%type <paces> pace_list pace
%type <pace> pace_kind
%type <pulls> pull pulls
%type <aim> aim
%type <aims> aims aims_member
%type <target> pull_base pull_change
%type <sign> sign
%type <option> option
%type <items> item items
%type <from> from
%type <weave> weave_first
%type <verb> verb
%type <start> start_kind
%type <mains_parts> mains_part mains_parts
%type <lines> line lines block
%type <number> taper

%%

file:
  %empty
| file "end of line"
| file definition
| file error "end of line"          { syntax_outside(syntax, @2); yyerrok; }
| file error block                  { syntax_outside(syntax, @2); yyerrok; }
;

definition:
  "use" TITLE                       { tree_define(syntax, DEFINE_USE, $2, no_name, no_name, NULL, @$, @$); }
| "frame" name title block          { tree_define(syntax, DEFINE_FRAME, $2, $3, no_name, $4, @$, span_join(@1, @3)); }
| "string" name title block         { tree_define(syntax, DEFINE_STRING, $2, $3, no_name, $4, @$, span_join(@1, @3)); }
| "bench" name title block          { tree_define(syntax, DEFINE_BENCH, $2, $3, no_name, $4, @$, span_join(@1, @3)); }
| "pattern" name title "for" name block
                                    { tree_define(syntax, DEFINE_PATTERN, $2, $3, $5, $6, @$, span_join(@1, @5)); }
;

title:
  %empty                            { $$ = no_name; }
| TITLE
;

block:
  "{" lines "}"                     { $$ = $2; }
| "{" lines line "}"                { $$ = TREE_APPEND($2, $3); }
;

lines:
  %empty                            { $$ = NULL; }
| lines "end of line"               { yyerrok; }
| lines line "end of line"          { $$ = TREE_APPEND($1, $2); yyerrok; }
;

line:
  "sport" name                      { $$ = line_name(syntax, LINE_SPORT, @$, $2); }
| "inside" number "wide" "," number "long"
                                    { $$ = line_inside(syntax, @$, $2, $5); }
| "overall" number "long" "," number "wide"
                                    { $$ = line_overall(syntax, @$, $2, $5); }
| "outline" "ellipse" taper         { $$ = line_outline(syntax, @$, OUTLINE_ELLIPSE, no_number, $3, NULL); }
| "outline" "superellipse" number taper
                                    { $$ = line_outline(syntax, @$, OUTLINE_SUPERELLIPSE, $3, $4, NULL); }
| "outline" "stations" stations     { $$ = line_outline(syntax, @$, OUTLINE_STATIONS, no_number, no_number, $3); }
| "wall" number                     { $$ = line_number(syntax, LINE_WALL, @$, $2); }
| "squeeze" stiffness               { $$ = line_squeeze(syntax, @$, $2, no_number); }
| "squeeze" stiffness "wide"        { $$ = line_squeeze(syntax, @$, $2, no_number); }
| "squeeze" stiffness "wide" "," stiffness "long"
                                    { $$ = line_squeeze(syntax, @$, $2, $5); }
| "holes" side_opt place slots      { $$ = line_holes(syntax, @$, $2, $3, $4); }
| "tape" tape                       { $$ = line_tape(syntax, @$, $2); }
| "tie-off" hole_list               { $$ = line_tie_off(syntax, @$, $2); }
| "lanes" number                    { $$ = line_number(syntax, LINE_LANES, @$, $2); }
| "guide" hole facing               { $$ = line_guide(syntax, @$, $2, $3); }
| "short" "side" short_side         { $$ = line_short_side(syntax, @$, $3); }
| "tension" number ".." number      { $$ = line_range(syntax, @$, $2, $4); }
| "note" TITLE                      { $$ = line_name(syntax, LINE_NOTE, @$, $2); }
| "gauge" number                    { $$ = line_number(syntax, LINE_GAUGE, @$, $2); }
| "density" number                  { $$ = line_number(syntax, LINE_DENSITY, @$, $2); }
| "stretch" number "at" number      { $$ = line_stretch(syntax, @$, $2, $4); }
| "stiffness" number                { $$ = line_number(syntax, LINE_STIFFNESS, @$, $2); }
| "length" number                   { $$ = line_number(syntax, LINE_LENGTH, @$, $2); }
| "clamps" clamp_list               { $$ = line_clamps(syntax, @$, $2); }
| "reach" number                    { $$ = line_number(syntax, LINE_REACH, @$, $2); }
| "step" number                     { $$ = line_number(syntax, LINE_STEP, @$, $2); }
| "pace" pace_list                  { $$ = line_pace(syntax, @$, $2); }
| "material" name                   { $$ = line_name(syntax, LINE_MATERIAL, @$, $2); }
| "mount" name                      { $$ = line_mount(syntax, @$, $2, NULL, no_number); }
| "mount" name "," stiffness        { $$ = line_mount(syntax, @$, $2, NULL, $4); }
| "mount" bears                     { $$ = line_mount(syntax, @$, no_name, $2, no_number); }
| "mount" bears "," stiffness_unit  { $$ = line_mount(syntax, @$, no_name, $2, $4); }
| "draw-back" number                { $$ = line_number(syntax, LINE_DRAW_BACK, @$, $2); }
| "one" "piece"                     { $$ = line_pieces(syntax, @$, 1, no_side); }
| "one" "piece" "," "long" "side" side
                                    { $$ = line_pieces(syntax, @$, 1, $6); }
| "two" "pieces"                    { $$ = line_pieces(syntax, @$, 2, no_side); }
| "string" name                     { $$ = line_string(syntax, @$, $2, $2); }
| "string" "mains" name "," "crosses" name
                                    { $$ = line_string(syntax, @$, $3, $6); }
| "bench" name                      { $$ = line_name(syntax, LINE_BENCH, @$, $2); }
| "pre-stretch" number              { $$ = line_number(syntax, LINE_PRESTRETCH, @$, $2); }
| "tension" pulls                   { $$ = line_tension(syntax, @$, $2); }
| "crosses" "from" place by skip    { $$ = line_crosses(syntax, @$, $3, $4, $5); }
| "mains" "from" place mains_parts  { $$ = line_mains(syntax, @$, $3, $4); }
| "around" "the" "world"            { $$ = line_plain(syntax, LINE_AROUND, @$); }
| "hold" strands_list "for" "later" { $$ = line_hold(syntax, @$, $2, no_end); }
| "hold" strands_list "for" end     { $$ = line_hold(syntax, @$, $2, $4); }
| "loops" "up" "to" number          { $$ = line_number(syntax, LINE_LOOPS, @$, $4); }
| "fixed" "clamps" number           { $$ = line_number(syntax, LINE_FIXED_MOST, @$, $3); }
| "starting" "clamps" number        { $$ = line_number(syntax, LINE_STARTING_MOST, @$, $3); }
| "finish" "at" place               { $$ = line_finish(syntax, @$, $3); }
| "find" "the" "rest"               { $$ = line_plain(syntax, LINE_FIND, @$); }
| "aims" aims                       { $$ = line_aims(syntax, @$, $2); }
| end items                         { $$ = line_leg(syntax, @$, $1, $2); }
| error                             { $$ = line_damaged(syntax, @$); }
| error block                       { $$ = line_damaged(syntax, @$); }
;

taper:
  %empty                            { $$ = no_number; }
| "," "taper" number                { $$ = $3; }
;

stations:
  station
| stations "," station              { $$ = TREE_APPEND($1, $3); }
;

station:
  number "at" number                { $$ = tree_at(syntax, no_hole, $1, $3); }
;

slots:
  slot
| slots slot                        { $$ = TREE_APPEND($1, $2); }
| slots "," slot                    { $$ = TREE_APPEND($1, $3); }
;

slot:
  strands                           { $$ = slot_strands(syntax, @$, $1); }
| STRAND "+" STRAND                 { $$ = slot_shared(syntax, @$, $1, $3); }
| "-"                               { $$ = slot_unused(syntax, @$); }
;

tape:
  tape_mark
| tape "," tape_mark                { $$ = TREE_APPEND($1, $3); }
;

tape_mark:
  hole "at" number                  { $$ = tree_at(syntax, $1, no_number, $3); }
;

hole_list:
  hole_member
| hole_list "," hole_member         { $$ = TREE_APPEND($1, $3); }
;

hole_member:
  hole                              { $$ = tree_hole_list(syntax, $1); }
;

short_side:
  side
| "either"                          { $$ = word_side(SIDE_UNSAID, @1); }
;

clamp_list:
  clamp_count
| clamp_list "," clamp_count        { $$ = TREE_APPEND($1, $3); }
;

clamp_count:
  number "fixed"                    { $$ = tree_clamps(syntax, $1, CLAMP_FIXED); }
| number "starting"                 { $$ = tree_clamps(syntax, $1, CLAMP_STARTING); }
;

bears:
  bears_first
| bears "," bears_first             { $$ = TREE_APPEND($1, $3); }
| bears "," bears_next              { $$ = TREE_APPEND($1, $3); }
;

bears_first:
  bearing NUMBER                    { $$ = tree_bears(syntax, @$, $1, $2); }
;

bears_next:
  NUMBER                            { $$ = tree_bears(syntax, @$, BEARS_ALIKE, $1); }
;

bearing:
  "inside"                          { $$ = BEARS_INSIDE; }
| "outside"                         { $$ = BEARS_OUTSIDE; }
;

pace_list:
  pace
| pace_list "," pace                { $$ = TREE_APPEND($1, $3); }
;

pace:
  pace_kind number                  { $$ = tree_pace(syntax, @$, $1, $2); }
;

pace_kind:
  "mount"                           { $$ = PACE_MOUNT; }
| "thread"                          { $$ = PACE_THREAD; }
| "weave"                           { $$ = PACE_WEAVE; }
| "pull"                            { $$ = PACE_PULL; }
| "clamp"                           { $$ = PACE_CLAMP; }
| "tie"                             { $$ = PACE_TIE; }
| "change"                          { $$ = PACE_CHANGE; }
;

pulls:
  pull
| pulls "," pull                    { $$ = TREE_APPEND($1, $3); }
;

pull:
  number                            { $$ = tree_pull(syntax, @$, target_all, 0, $1); }
| pull_base number                  { $$ = tree_pull(syntax, @$, $1, 0, $2); }
| pull_base sign number             { $$ = tree_pull(syntax, @$, $1, $2, $3); }
| pull_change sign number           { $$ = tree_pull(syntax, @$, $1, $2, $3); }
;

pull_base:
  "mains"                           { $$ = target_mains; }
| "crosses"                         { $$ = target_crosses; }
| strands                           { $$ = target_strands($1); }
;

pull_change:
  "last" "pulls"                    { $$ = target_last; }
| "outer" "mains"                   { $$ = target_outer; }
;

sign:
  "+"                               { $$ = +1; }
| "-"                               { $$ = -1; }
;

by:
  %empty                            { $$ = no_end; }
| "by" end                          { $$ = $2; }
;

skip:
  %empty                            { $$ = NULL; }
| "," "skip" strands_list           { $$ = $3; }
;

strands_list:
  strands_member
| strands_list "," strands_member   { $$ = TREE_APPEND($1, $3); }
;

strands_member:
  strands                           { $$ = tree_strands_list(syntax, $1); }
;

aims:
  aims_member
| aims "," aims_member              { $$ = TREE_APPEND($1, $3); }
;

aims_member:
  aim                               { $$ = tree_aim(syntax, @$, $1); }
;

aim:
  "late" "mains"                    { $$ = AIM_LATE_MAINS; }
| "loops" "over"                    { $$ = AIM_LOOPS_OVER; }
| "longest" "loop"                  { $$ = AIM_LONGEST_LOOP; }
| "loop" "length"                   { $$ = AIM_LOOP_LENGTH; }
| "changes"                         { $$ = AIM_CHANGES; }
;

mains_parts:
  %empty                            { $$ = NULL; }
| mains_parts "," mains_part        { $$ = TREE_APPEND($1, $3); }
;

mains_part:
  strands "on" "each" "side"        { $$ = mains_strands(syntax, @$, $1); }
| option                            { $$ = mains_option(syntax, @$, $1); }
| end "first"                       { $$ = mains_first(syntax, @$, $1); }
;

items:
  item
| items "," item                    { $$ = TREE_APPEND($1, $3); }
;

item:
  verb strands from weave_first     { $$ = item_strands(syntax, @$, $1, $2, $3, $4); }
| "start" hole start_kind           { $$ = item_start(syntax, @$, $2, $3); }
| "tie" hole                        { $$ = item_tie(syntax, @$, $2); }
| option                            { $$ = item_option(syntax, @$, $1); }
;

verb:
  %empty                            { $$ = VERB_BOTH; }
| "thread"                          { $$ = VERB_THREAD; }
| "pull"                            { $$ = VERB_PULL; }
;

from:
  %empty                            { $$ = no_from; }
| "from" side                       { $$ = from_side($2, @$); }
| "from" place                      { $$ = from_place($2, @$); }
;

weave_first:
  %empty                            { $$ = no_weave; }
| "over" "first"                    { $$ = word_weave(WEAVE_OVER, @$); }
| "under" "first"                   { $$ = word_weave(WEAVE_UNDER, @$); }
;

start_kind:
  %empty                            { $$ = START_UNSAID; }
| "knot"                            { $$ = START_KNOT; }
| "clamp"                           { $$ = START_CLAMP; }
;

option:
  "pull" number "ahead"             { $$ = tree_option(syntax, OPTION_PULL_AHEAD, $2, no_number, @$); }
| "pull" number "ahead" "then" number
                                    { $$ = tree_option(syntax, OPTION_PULL_AHEAD, $2, $5, @$); }
| "thread" number "ahead"           { $$ = tree_option(syntax, OPTION_THREAD_AHEAD, $2, no_number, @$); }
;

strands:
  STRAND                            { $$ = tree_strands(syntax, no_side, $1, $1, @$); }
| STRAND ".." STRAND                { $$ = tree_strands(syntax, no_side, $1, $3, @$); }
| side STRAND                       { $$ = tree_strands(syntax, $1, $2, $2, @$); }
| side STRAND ".." STRAND           { $$ = tree_strands(syntax, $1, $2, $4, @$); }
;

hole:
  HOLE                              { $$ = tree_hole(no_side, $1, @$); }
| side HOLE                         { $$ = tree_hole($1, $2, @$); }
;

side_opt:
  %empty                            { $$ = no_side; }
| side
;

side:
  "left"                            { $$ = word_side(SIDE_LEFT, @1); }
| "right"                           { $$ = word_side(SIDE_RIGHT, @1); }
;

place:
  "head"                            { $$ = word_place(PLACE_HEAD, @1); }
| "throat"                          { $$ = word_place(PLACE_THROAT, @1); }
;

facing:
  "front"                           { $$ = LANE_FRONT; }
| "back"                            { $$ = LANE_BACK; }
;

end:
  "long"                            { $$ = word_end(END_LONG, @1); }
| "short"                           { $$ = word_end(END_SHORT, @1); }
| "left"                            { $$ = word_end(END_LEFT, @1); }
| "right"                           { $$ = word_end(END_RIGHT, @1); }
| "cross"                           { $$ = word_end(END_CROSS, @1); }
;

number:
  NUMBER                            { $$ = $1; }
| NUMBER unit                       { $$ = with_unit($1, $2, @$); }
;

stiffness:
  NUMBER                            { $$ = $1; }
| stiffness_unit
;

stiffness_unit:
  NUMBER unit                       { $$ = with_unit($1, $2, @$); }
| NUMBER force "per" "mm"           { $$ = with_unit($1, $2, @$); }
;

force:
  "lb"                              { $$ = UNIT_LB_MM; }
| "kg"                              { $$ = UNIT_KG_MM; }
| "N"                               { $$ = UNIT_N_MM; }
;

unit:
  "mm"                              { $$ = UNIT_MM; }
| "cm"                              { $$ = UNIT_CM; }
| "m"                               { $$ = UNIT_M; }
| "in"                              { $$ = UNIT_IN; }
| "lb"                              { $$ = UNIT_LB; }
| "kg"                              { $$ = UNIT_KG; }
| "N"                               { $$ = UNIT_N; }
| "s"                               { $$ = UNIT_S; }
| "%"                               { $$ = UNIT_PERCENT; }
| "g/cm3"                           { $$ = UNIT_G_CM3; }
;

name:
  NAME
| keyword                           { $$ = keyword_name(syntax, @1); }
;

keyword:
%keyword-names
;

%%

/* The longest list of expected words a message is made from. */
enum { MOST_EXPECTED = 120 };

static int yyreport_syntax_error(const yypcontext_t *context, struct syntax *syntax) {
    yysymbol_kind_t symbols[MOST_EXPECTED];
    const char *expected[MOST_EXPECTED];
    int count = yypcontext_expected_tokens(context, symbols, MOST_EXPECTED);
    for (int i = 0; i < count; i++) expected[i] = yysymbol_name(symbols[i]);
    syntax_unexpected(syntax, *yypcontext_location(context),
                      yysymbol_name(yypcontext_token(context)), expected,
                      count < 0 ? 0 : (size_t)count);
    return 0;
}

/* Only called when there is no memory for the parser's stack: braces stand no deeper than it may
 * grow. */
static void selvage_yyerror(struct span *span, struct syntax *syntax, const char *message) {
    (void)span;
    (void)message;
    arena_escape(syntax->arena);
}
