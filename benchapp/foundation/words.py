"""Single words that stand by themselves on a page, in a table or on paper, and are keys or data where they are made:
known to the catalogue here, looked up where they are shown."""

from benchapp.foundation.language import tr_noop

#: What things are filled into, one and many; a procedure may name others.
CONTAINERS = (
    tr_noop("bottle"), tr_noop("bottles"), tr_noop("jar"), tr_noop("jars"), tr_noop("tin"), tr_noop("tins"),
    tr_noop("tube"), tr_noop("tubes"), tr_noop("pot"), tr_noop("pots"), tr_noop("mould"), tr_noop("moulds"),
    tr_noop("bar"), tr_noop("bars"), tr_noop("piece"), tr_noop("pieces"), tr_noop("container"),
    tr_noop("containers"), tr_noop("box"), tr_noop("boxes"), tr_noop("dish"), tr_noop("dishes"), tr_noop("cup"),
    tr_noop("cups"), tr_noop("can"), tr_noop("cans"), tr_noop("tub"), tr_noop("tubs"), tr_noop("stick"), tr_noop("sticks"),
)  # fmt: skip
#: How a value stands, where it comes from, how a device or a batch does.
STATES = (
    tr_noop("above"), tr_noop("below"), tr_noop("in band"), tr_noop("far above"), tr_noop("out of band"),
    tr_noop("waiting"), tr_noop("measured"), tr_noop("stated"), tr_noop("computed"), tr_noop("checked"),
    tr_noop("unchecked"), tr_noop("passed"), tr_noop("failed"), tr_noop("FAILED"), tr_noop("open"), tr_noop("OPEN"), tr_noop("noted"),
    tr_noop("closed"), tr_noop("finished"), tr_noop("unfinished"), tr_noop("abandoned"), tr_noop("held"),
    tr_noop("released"), tr_noop("rejected"), tr_noop("rework"), tr_noop("quarantined"), tr_noop("usable"),
    tr_noop("used up"), tr_noop("expired"), tr_noop("date unreadable"), tr_noop("empty"), tr_noop("good"), tr_noop("bad"), tr_noop("due"),
    tr_noop("approved"), tr_noop("withdrawn"), tr_noop("retired"), tr_noop("taken"), tr_noop("wanted"),
    tr_noop("busy"), tr_noop("silent"), tr_noop("unplugged"), tr_noop("unreadable"), tr_noop("disagrees"),
    tr_noop("refused"), tr_noop("remembered"), tr_noop("scanned"), tr_noop("picked"), tr_noop("typed"),
    tr_noop("overload"), tr_noop("underload"), tr_noop("open probe"), tr_noop("device error"),
    tr_noop("wrong unit"), tr_noop("out of range"), tr_noop("no port"), tr_noop("no permission"),
    tr_noop("forward"), tr_noop("back"), tr_noop("before"), tr_noop("after"), tr_noop("different"),
    tr_noop("heavier"), tr_noop("lighter"), tr_noop("yes"), tr_noop("no"), tr_noop("none"), tr_noop("unknown"),
    tr_noop("understood"), tr_noop("saved"), tr_noop("begun"), tr_noop("rehearsed"), tr_noop("practised"),
    tr_noop("supervised"), tr_noop("independent"), tr_noop("serious"), tr_noop("accepted"), tr_noop("changed"),
    tr_noop("on"), tr_noop("off"), tr_noop("large"), tr_noop("normal"), tr_noop("left"), tr_noop("right"),
    tr_noop("not known"), tr_noop("gets hotter"), tr_noop("thermostat"), tr_noop("full"), tr_noop("brief"), tr_noop("dim"), tr_noop("bright"), tr_noop("steam"), tr_noop("synchronized"), tr_noop("near their date"), tr_noop("made"),
)  # fmt: skip
#: Signal words and grades, as they stand beside a sign.
SIGNALS = (
    tr_noop("DANGER"), tr_noop("WARNING"), tr_noop("CAUTION"), tr_noop("NOTICE"), tr_noop("Danger"),
    tr_noop("Warning"), tr_noop("note"), tr_noop("minor"), tr_noop("major"), tr_noop("STOP"), tr_noop("stop"),
    tr_noop("REHEARSAL"), tr_noop("TRIAL"), tr_noop("DEMO"),
)  # fmt: skip
#: Kinds of step and of what is done in them.
STEPS = (
    tr_noop("prepare"), tr_noop("weigh"), tr_noop("premix"), tr_noop("disperse"), tr_noop("heat"), tr_noop("top up"),
    tr_noop("combine"), tr_noop("blend"), tr_noop("cool"), tr_noop("add"), tr_noop("measure"), tr_noop("measure ph"),
    tr_noop("density"), tr_noop("look"), tr_noop("rest"), tr_noop("fill"), tr_noop("clean up"), tr_noop("finish"),
)  # fmt: skip
#: Kinds of devices and of what is weighed.
THINGS = (
    tr_noop("scale"), tr_noop("thermometer"), tr_noop("ph meter"), tr_noop("meter"), tr_noop("strip"),
    tr_noop("acid"), tr_noop("base"), tr_noop("water"), tr_noop("oil"), tr_noop("butter"), tr_noop("wax"),
    tr_noop("emulsifier"), tr_noop("thickener"), tr_noop("gum"), tr_noop("humectant"), tr_noop("active"),
    tr_noop("preservative"), tr_noop("fragrance"), tr_noop("antioxidant"), tr_noop("chelator"),
    tr_noop("conditioner"), tr_noop("colour"), tr_noop("cool-down"), tr_noop("leave-on"), tr_noop("rinse-off"),
    tr_noop("maker"), tr_noop("helper"), tr_noop("releaser"), tr_noop("calibration"), tr_noop("cleaning"),
    tr_noop("sample"), tr_noop("samples"), tr_noop("waste"), tr_noop("product"), tr_noop("transfer"), tr_noop("tare"),
)  # fmt: skip
#: Titles of columns and fields.
TITLES = (
    tr_noop("amount"), tr_noop("batch"), tr_noop("band"), tr_noop("beginning"), tr_noop("by"), tr_noop("caution"),
    tr_noop("channel"), tr_noop("channels"), tr_noop("check"), tr_noop("code"), tr_noop("corrected"),
    tr_noop("complaint"), tr_noop("confirmed"), tr_noop("correction"), tr_noop("cost"), tr_noop("date"),
    tr_noop("day"), tr_noop("days"), tr_noop("decision"), tr_noop("deviation"), tr_noop("deviations"),
    tr_noop("device"), tr_noop("devices"), tr_noop("difference"), tr_noop("dispatch"), tr_noop("done"),
    tr_noop("drawn"), tr_noop("ended"), tr_noop("equipment"), tr_noop("event"), tr_noop("everybody"),
    tr_noop("expected"), tr_noop("expires"), tr_noop("field"), tr_noop("first"), tr_noop("found"), tr_noop("from"),
    tr_noop("goal"), tr_noop("grade"), tr_noop("head"), tr_noop("inci"), tr_noop("ingredient"),
    tr_noop("ingredients"), tr_noop("kind"), tr_noop("line"), tr_noop("lot"), tr_noop("lots"), tr_noop("mass"),
    tr_noop("material"), tr_noop("materials"), tr_noop("method"), tr_noop("name"), tr_noop("number"),
    tr_noop("number of"), tr_noop("percent"), tr_noop("person"), tr_noop("phase"), tr_noop("pieces"),
    tr_noop("price"), tr_noop("procedure"), tr_noop("proof"), tr_noop("reached"), tr_noop("reading"),
    tr_noop("reason"), tr_noop("received"), tr_noop("reconciled"), tr_noop("result"), tr_noop("role"),
    tr_noop("roles"), tr_noop("scenario"), tr_noop("second"), tr_noop("share"), tr_noop("short"), tr_noop("shown"),
    tr_noop("signature"), tr_noop("since"), tr_noop("size"), tr_noop("state"), tr_noop("step"), tr_noop("supplier"),
    tr_noop("target"), tr_noop("task"), tr_noop("temperature"), tr_noop("time"), tr_noop("to"), tr_noop("tolerance"),
    tr_noop("took"), tr_noop("trial"), tr_noop("unit"), tr_noop("use"), tr_noop("used"), tr_noop("value"),
    tr_noop("version"), tr_noop("vessel"), tr_noop("vessels"), tr_noop("was"), tr_noop("weighed"),
    tr_noop("weighing"), tr_noop("what"), tr_noop("when"), tr_noop("where"), tr_noop("who"), tr_noop("why"),
    tr_noop("within"), tr_noop("words"), tr_noop("yield"), tr_noop("all"), tr_noop("planned"), tr_noop("counted"),
)  # fmt: skip
#: What stands on buttons and over pages by itself.
HEADINGS = (
    tr_noop("Add"), tr_noop("Alarm"), tr_noop("Anew"), tr_noop("Appearance"), tr_noop("Apron"), tr_noop("Back"),
    tr_noop("Batch"), tr_noop("Begin"), tr_noop("Beginning."), tr_noop("Bench"),
    tr_noop("Cautions"), tr_noop("Choose"), tr_noop("Complaints"), tr_noop("Containers"), tr_noop("Copies"),
    tr_noop("Corrections"), tr_noop("Covered"), tr_noop("Deviations"), tr_noop("Devices"), tr_noop("Done"),
    tr_noop("Earlier"), tr_noop("Enter"), tr_noop("Expiry"), tr_noop("Fill"), tr_noop("Formula"),
    tr_noop("Grams"), tr_noop("Hold"), tr_noop("Ingredient"), tr_noop("Interruptions"), tr_noop("Later"),
    tr_noop("Lots"), tr_noop("Louder"), tr_noop("Materials"), tr_noop("Meanwhile"), tr_noop("Measured"),
    tr_noop("Meter"), tr_noop("Method"), tr_noop("More"), tr_noop("New"), tr_noop("Next"), tr_noop("None."),
    tr_noop("Noted"), tr_noop("Passed"), tr_noop("Percent"), tr_noop("Phase"), tr_noop("Pour"),
    tr_noop("Practise"), tr_noop("Procedure"), tr_noop("Recipes"), tr_noop("Rehearsal"), tr_noop("Release"),
    tr_noop("Remove"), tr_noop("Replace"), tr_noop("Right"), tr_noop("Save"), tr_noop("Saved"), tr_noop("Settings"),
    tr_noop("Signatures"), tr_noop("Signed"), tr_noop("Slower"), tr_noop("Smell"), tr_noop("Space"),
    tr_noop("Starting."), tr_noop("Steps"), tr_noop("Stirring"), tr_noop("Stop"), tr_noop("Storage"),
    tr_noop("Strip"), tr_noop("Supplier"), tr_noop("Temperatures"), tr_noop("Text"), tr_noop("Total"),
    tr_noop("Undo"), tr_noop("Upkeep"), tr_noop("Verdict"), tr_noop("Vessels"), tr_noop("Wait"),
    tr_noop("Weighed"), tr_noop("Weighings"), tr_noop("Why"), tr_noop("Lock"), tr_noop("Written"), tr_noop("Wrong"),
    tr_noop("Yield"), tr_noop("Yes"), tr_noop("No"), tr_noop("Look"), tr_noop("Keep"), tr_noop("Quieter"),
    tr_noop("now"), tr_noop("minutes"), tr_noop("Finished"), tr_noop("Released"), tr_noop("Why rejected?"), tr_noop("Sign"),
    tr_noop("versions"), tr_noop("privacy"), tr_noop("disk"), tr_noop("matter"), tr_noop("copies"), tr_noop("clock"),
    tr_noop("bath"), tr_noop("over"), tr_noop("hold"), tr_noop("phases"), tr_noop("title"), tr_noop("row"), tr_noop("sheet"),
    tr_noop("Simulated"), tr_noop("People"), tr_noop("Deviation"), tr_noop("Record"), tr_noop("Language"),
)  # fmt: skip
